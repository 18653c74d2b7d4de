import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import { type AddressMove, movesOf } from '../model/address-moves.ts';
import { addressesOf, type RunAddress } from '../model/addresses.ts';
import type { Edit, Finding, Fix } from '../model/finding.ts';
import type { Steps } from '../model/steps.ts';
import { closes } from './holds.ts';

/**
 * Suggests where the addresses of a finding are free: for the run or controller that is in the way, and where several are,
 * for all of them together.
 */
export function* suggestAddress(ctx: SuggestContext, finding: Finding): Steps<readonly Fix[]> {
  const addresses = new Map([...addressesOf(ctx.plan).values()].map((address) => [address.run.name, address]));
  const own = sure(addresses.get(sure(finding.subject)));
  const fixes: Fix[] = [];
  for (const { title, edits } of [pinAsItIs(own), moveOne(ctx, own), moveAll(ctx, finding, addresses)].flat()) {
    yield;
    if (closes(ctx, finding, edits) !== undefined) fixes.push({ title, edits, preferred: fixes.length === 0 });
  }
  return fixes;
}

type Move = Pick<Fix, 'title' | 'edits'>;

/** A run whose first pixel has no room behind its pinned slot starts in the next universe: the pin can say so. */
function pinAsItIs({ run, spans }: RunAddress): Move[] {
  const first = sure(spans[0]);
  if (run.pin?.slotOrigin === undefined) return [];
  if (first.universe !== run.pin.universe + 1 || first.slot !== 1) return [];
  const title = `Pin ${run.name} to universe ${first.universe} slot 1, where it starts`;
  return [{ title, edits: editsOf({ ...run.pin, universe: first.universe }) }];
}

function moveOne({ plan }: SuggestContext, address: RunAddress): Move[] {
  const [move] = movesOf(plan, [address]);
  if (move?.universe === undefined) return [];
  const slot = move.slotOrigin === undefined ? '' : ' slot 1';
  const title = move.isPin ? `Use universe ${move.universe}${slot}` : `Start ${move.name} at universe ${move.universe}`;
  return [{ title, edits: editsOf(move) }];
}

const MOST_NAMED = 3;

function moveAll({ plan, preview }: SuggestContext, { code }: Finding, all: ReadonlyMap<string, RunAddress>): Move[] {
  const subjects = preview([]).findings.flatMap((other) => (other.code === code ? [sure(other.subject)] : []));
  const moves = movesOf(
    plan,
    subjects.map((name) => sure(all.get(name))),
  );
  if (moves.length < 2 || moves.some(({ universe }) => universe === undefined)) return [];
  const named = moves.slice(0, MOST_NAMED).map(({ name, universe }) => `${name} to universe ${universe}`);
  const more = moves.length > MOST_NAMED ? `, and ${moves.length - MOST_NAMED} more` : '';
  return [{ title: `Renumber all ${moves.length}: ${named.join(', ')}${more}`, edits: moves.flatMap(editsOf) }];
}

function editsOf({
  universe,
  universeOrigin,
  slotOrigin,
}: Pick<AddressMove, 'universe' | 'universeOrigin' | 'slotOrigin'>): Edit[] {
  const edits = [{ origin: universeOrigin, text: String(universe) }];
  return slotOrigin === undefined ? edits : [...edits, { origin: slotOrigin, text: '1' }];
}
