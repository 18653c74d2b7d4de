import type { Account } from '../model/account.ts';
import { circuitAmps, mainsWatts, suppliesOn } from '../model/circuit-load.ts';
import { deratedOf, shareTaken } from '../model/derating.ts';
import { outputsOf, outputText, usersOf } from '../model/outputs.ts';
import type { Plan } from '../model/plan.ts';
import { amps, rating, share, volts, watts } from '../model/texts.ts';
import { type Fact, factsAbout } from './fact.ts';

/** Amps and watts of everything between the breaker and the runs, each beside its limit. */
export function powerFacts(plan: Plan, account: Account): Fact[] {
  return [
    ...supplyFacts(plan, account),
    ...boardFacts(plan, account),
    ...outputFacts(plan, account),
    ...circuitFacts(plan, account),
  ];
}

function supplyFacts(plan: Plan, account: Account): Fact[] {
  return [...plan.supplies.values()].flatMap((supply): Fact[] => {
    const about = factsAbout('supplies', supply.name);
    const load = account.supplies.get(supply);
    if (load === undefined) return [];
    const derated = deratedOf(plan.design, supply);
    const limit = (derated?.share ?? 1) < 1 ? 'what it can give when warm' : 'its rating';
    const taken = shareTaken(load.amps, derated);
    const used = taken === undefined ? '' : `, ${share(taken)} of ${limit}`;
    return [
      about('load', load.amps, `${amps(load.amps)}${used}`, 'less'),
      about('power', load.watts, watts(load.watts), 'less'),
    ];
  });
}

function boardFacts(plan: Plan, account: Account): Fact[] {
  return [...plan.boards.values()].flatMap((board): Fact[] => {
    const about = factsAbout('supplies', board.name);
    const load = account.boards.get(board);
    const from = about('fed from', 0, outputText(board.from));
    if (load === undefined) return [from];
    const current = load.cable.positive;
    return [
      from,
      about('load', current, amps(current), 'less'),
      about('drop', load.drop, `${volts(load.drop)} in its cable`, 'less'),
    ];
  });
}

/** Outputs that something hangs on: what they carry of their fuse. */
function outputFacts(plan: Plan, account: Account): Fact[] {
  return outputsOf(plan).flatMap((output): Fact[] => {
    if (usersOf(plan, output).length === 0) return [];
    const about = factsAbout('outputs', outputText(output));
    const load = account.outputs.get(output);
    const fuse = output.fuse?.amps;
    return [
      about('fuse', fuse ?? 0, fuse === undefined ? 'none' : rating(fuse)),
      ...(load === undefined
        ? []
        : [
            about(
              'load',
              load,
              fuse === undefined ? amps(load) : `${amps(load)}, ${share(load / fuse)} of its fuse`,
              'less',
            ),
          ]),
    ];
  });
}

function circuitFacts(plan: Plan, account: Account): Fact[] {
  return [...plan.circuits.values()].flatMap((circuit): Fact[] => {
    const about = factsAbout('circuits', circuit.name);
    const load = circuitAmps(account, circuit);
    const used = circuit.amps === undefined ? '' : `, ${share(load / circuit.amps)} of its breaker`;
    const power = suppliesOn(plan, circuit).reduce(
      (sum, supply) => sum + mainsWatts(supply, account.supplies.get(supply)?.watts ?? 0),
      0,
    );
    return [about('load', load, `${amps(load)}${used}`, 'less'), about('power', power, watts(power), 'less')];
  });
}
