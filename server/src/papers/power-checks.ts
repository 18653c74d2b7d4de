import type { Account } from '../model/account.ts';
import { outputsOf, outputText, usersOf } from '../model/outputs.ts';
import type { Plan } from '../model/plan.ts';
import { rating, volts } from '../model/texts.ts';
import type { Paper } from './paper.ts';

/** What is proven before power goes on, and in what order it then goes on. */
export function powerChecks(plan: Plan, account: Account): Paper {
  const cuts = [...plan.runs.values()].flatMap((run) =>
    run.pieces.filter(({ kind }) => kind === 'cut').map(() => run.name),
  );
  const fused = outputsOf(plan).filter((output) => usersOf(plan, output).length > 0);
  return {
    id: 'checks',
    title: 'Checks before power',
    intro: 'Two people: one reads, one touches. Mains off and unplugged until the last part.',
    tables: [],
    steps: [
      {
        title: 'Everything off, all fuses out, meter on ohms',
        items: [
          'Every supply: no short between V+ and ground of its outputs.',
          'Every output, on the far side of its empty fuse holder: no short between V+ and ground.',
          'Ground of every supply to ground of every board: less than an ohm.',
          ...cuts.map((name) => `${name}: no connection between the V+ of both sides of its cut.`),
          'Every connector closed and dry, every splice sealed, every box shut against rain from above and the side.',
        ],
      },
      {
        title: 'Mains on, fuses still out',
        items: [
          ...[...plan.circuits.values()].map(
            ({ name }) => `Circuit ${name}: press the test button of the residual-current device. It must trip.`,
          ),
          ...[...plan.supplies.values()].map(
            (supply) =>
              `${supply.name}: the meter says ${volts(supply.volts?.value ?? supply.part?.volts ?? 0)}, the right way round.`,
          ),
        ],
      },
      {
        title: 'Fuses in, one at a time, everything dark',
        items: fused.map((output) => {
          const rated = output.fuse === undefined ? 'no fuse in the plan: add one' : rating(output.fuse.amps);
          return `${outputText(output)} (${rated}): nothing warm, nothing smells, the meter at the tap agrees.`;
        }),
      },
      {
        title: 'Light, a quarter first, then all',
        items: [
          'One run after the other at 25 % white. Then together.',
          'Full white for a minute. Touch connectors and fuses: warm is a sign, hot is a stop.',
          `Then measure by the sheet of voltages${account.measured.length > 0 ? '; last readings are in the plan' : ''}.`,
        ],
      },
    ],
  };
}
