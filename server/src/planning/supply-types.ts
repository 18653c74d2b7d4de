import type { Plan, Run, SupplyPart } from '../model/plan.ts';
import { takes } from './reach.ts';

/** The types that may feed a run, and the V that one would be set to: as another one of it, else as it comes. */
export function typesFor(plan: Plan, run: Run): { readonly part: SupplyPart; readonly set: number }[] {
  const used = new Set([...plan.supplies.values()].flatMap(({ part }) => (part === undefined ? [] : [part])));
  const fitting = (parts: Iterable<SupplyPart>) =>
    [...parts].flatMap((part) => {
      const alike = [...plan.supplies.values()].find((supply) => supply.part === part && supply.volts !== undefined);
      const set = alike?.volts?.value ?? part.volts;
      return set !== undefined && part.rated !== undefined && takes(run, set) ? [{ part, set }] : [];
    });
  const known = fitting(used);
  return known.length > 0 ? known : fitting(plan.supplyParts.values());
}
