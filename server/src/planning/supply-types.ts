import type { Plan, Run, SupplyPart } from '../model/plan.ts';
import { takes } from './reach.ts';

/** A type of supply, and the V that one of it would be set to: as another one of it, else as it comes. */
interface SupplyType {
  readonly part: SupplyPart;
  readonly set: number;
}

/** The types that are proposed for a run: those of which the plan has one already, else all that may feed it. */
export function typesFor(plan: Plan, run: Run): SupplyType[] {
  const all = allTypesFor(plan, run);
  const used = new Set([...plan.supplies.values()].map(({ part }) => part));
  const known = all.filter(({ part }) => used.has(part));
  return known.length > 0 ? known : all;
}

/** Every type that may feed a run. */
export function allTypesFor(plan: Plan, run: Run): SupplyType[] {
  return [...plan.supplyParts.values()].flatMap((part) => {
    const alike = [...plan.supplies.values()].find((supply) => supply.part === part && supply.volts !== undefined);
    const set = alike?.volts?.value ?? part.volts;
    return set !== undefined && part.rated !== undefined && takes(run, set) ? [{ part, set }] : [];
  });
}
