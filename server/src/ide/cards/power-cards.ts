import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../../analysis/analysis.ts';
import type { SupplyAccount } from '../../model/account.ts';
import { outputText, usersOf } from '../../model/outputs.ts';
import type { Bond, Feed, FeedPiece, Named, Output, Plan, Supply } from '../../model/plan.ts';
import { amps, metres, rating, share, volts, watts } from '../../model/texts.ts';
import { type Card, type Fact, fact } from '../card.ts';
import { conditions, whyUnsolved } from './conditions.ts';
import { supplyMainsFacts } from './mains-cards.ts';

/** Supplies and their outputs, feeds, bonds. */

const MOST_LISTED = 16;

export function supplyCard(analysis: Analysis, supply: Supply): Card {
  const { plan, account } = analysis;
  const load = account.supplies.get(supply);
  const outputs = [...supply.outputs.values()]
    .slice(0, MOST_LISTED)
    .flatMap((output) => fact(`output ${output.number}`, outputUse(analysis, output)));
  const why = supply.part === undefined ? 'Nothing is computed for it, since its part is not known.' : undefined;
  return {
    kind: 'supply',
    name: supply.name,
    label: supply.label,
    description: supply.description,
    facts: [
      ...fact('part', supply.part?.name, supply.part?.label),
      ...fact(
        'set to',
        supply.volts === undefined ? undefined : volts(supply.volts.value),
        supply.volts?.origin === undefined ? supply.volts?.source : undefined,
      ),
      ...fact('stands at', supply.place?.name, supply.place?.label),
      ...fact('plugged into', supply.circuit?.name, supply.circuit?.label),
      ...(load !== undefined ? [...loadFacts(plan, load), ...supplyMainsFacts(analysis, supply)] : []),
      ...outputs,
    ],
    notes: [
      load !== undefined
        ? conditions(plan)
        : (why ?? whyUnsolved(analysis, (solved) => solved.island.supplies.includes(supply))),
    ],
  };
}

function loadFacts(plan: Plan, load: SupplyAccount): Fact[] {
  const rated = load.supply.part?.rated;
  const most = share(plan.design.supplyShare.value);
  return [
    ...fact(
      'load',
      `${amps(load.amps)}, ${watts(load.watts)}`,
      rated === undefined ? undefined : `${share(load.amps / rated)} of its ${rating(rated)}; planned up to ${most}`,
    ),
    ...fact('voltage under load', volts(load.volts), load.limited ? 'folded back: it is at its limit' : undefined),
  ];
}

/** "free", or its current and what it feeds. */
export function outputUse(
  analysis: Analysis,
  output: Output,
  users: readonly Named[] = usersOf(analysis.plan, output),
): string {
  const load = analysis.account.outputs.get(output);
  const of =
    output.fuse === undefined ? '' : ` of ${rating(output.fuse.amps)} (${share((load ?? 0) / output.fuse.amps)})`;
  if (users.length === 0) return output.fuse === undefined ? 'free' : `free, fuse ${rating(output.fuse.amps)}`;
  return `${load === undefined ? '' : `${amps(load)}${of}, `}${users.map((user) => user.name).join(', ')}`;
}

export function outputCard(analysis: Analysis, output: Output): Card {
  const load = analysis.account.outputs.get(output);
  const fuse = output.fuse;
  return {
    kind: 'output',
    name: outputText(output),
    facts: [
      ...fact(
        'fuse',
        fuse === undefined ? 'none' : rating(fuse.amps),
        fuse === undefined ? undefined : `cold resistance ${Number((fuse.ohms * 1000).toPrecision(3))} mohm`,
      ),
      ...fact(
        'load',
        load === undefined ? undefined : amps(load),
        load === undefined || fuse === undefined
          ? undefined
          : `${share(load / fuse.amps)} of its fuse; planned up to ${share(analysis.plan.design.fuseShare.value)}`,
      ),
      ...fact(
        'feeds',
        usersOf(analysis.plan, output)
          .map((user) => `${user.kind} ${user.name}`)
          .join(', ') || 'nothing yet',
      ),
    ],
    notes: [
      load === undefined
        ? whyUnsolved(analysis, (solved) => solved.island.supplies.includes(output.supply))
        : conditions(analysis.plan),
    ],
  };
}

export function feedCard(analysis: Analysis, feed: Feed): Card {
  const { plan } = analysis;
  const account = analysis.account.feeds.get(feed);
  const output = feed.from;
  const fuse = output?.fuse;
  const set = output?.supply.volts?.value;
  const drop = account === undefined ? undefined : Math.abs(account.drop);
  return {
    kind: 'feed',
    name: feed.name,
    label: feed.label,
    description: feed.description,
    facts: [
      ...fact(
        'from',
        output === undefined ? undefined : outputText(output),
        fuse === undefined ? 'no fuse' : `fuse ${rating(fuse.amps)}`,
      ),
      ...fact(
        'current',
        account === undefined ? undefined : amps(account.amps),
        account === undefined || fuse === undefined ? undefined : `${share(account.amps / fuse.amps)} of the fuse`,
      ),
      ...fact(
        'drop in its cables',
        drop === undefined ? undefined : volts(drop),
        drop === undefined || set === undefined ? undefined : `${share(drop / set)} of ${volts(set)}, both conductors`,
      ),
      ...feed.pieces
        .slice(0, MOST_LISTED)
        .flatMap((piece, index) => pieceFact(plan, piece, account?.pieces[index]?.positive)),
    ],
    notes: [
      account === undefined ? whyUnsolved(analysis, (solved) => solved.island.feeds.includes(feed)) : conditions(plan),
    ],
  };
}

function pieceFact(plan: Plan, piece: FeedPiece, through: number | undefined): Fact[] {
  if (piece.kind === 'tap')
    return fact(
      'tap',
      through === undefined ? piece.tap.text : `${amps(through)} at ${piece.tap.text}`,
      piece.connector?.name,
    );
  const rated = piece.cable.rated === undefined ? undefined : piece.cable.rated.value * piece.parallel;
  const cable = `${metres(piece.length, plan.design.units)} of ${piece.cable.name}${piece.parallel > 1 ? ` x ${piece.parallel}` : ''}`;
  if (through === undefined || rated === undefined) return fact('cable', cable);
  return fact('cable', cable, `${amps(through)}, ${share(through / rated)} of ${rating(rated)}`);
}

export function bondCard(analysis: Analysis, bond: Bond): Card {
  let current: number | undefined;
  for (const { circuit, outcome } of analysis.account.islands) {
    const index = circuit.resistors.findIndex((role) => role.kind === 'bond' && role.bond === bond);
    if (index >= 0 && outcome.status === 'solved') current = Math.abs(sure(outcome.resistorAmps[index]));
  }
  return {
    kind: 'bond',
    name: bond.name,
    label: bond.label,
    description: bond.description,
    facts: [
      ...fact('joins the grounds of', `${bond.from.name} and ${bond.to.name}`),
      ...fact('wire', `${metres(bond.length, analysis.plan.design.units)} of ${bond.cable.name}`),
      ...fact('current', current === undefined ? undefined : amps(current)),
    ],
    notes: [conditions(analysis.plan)],
  };
}
