import type { Account } from './account.ts';
import { conductorOhms } from './conductors.ts';
import type { Trip } from './mains.ts';
import type { Circuit, Design, Extension, Plan, Supply } from './plan.ts';

/** What a mains circuit carries, starts and leaks, and what its extension leads lose. */

/**
 * Multiples of the rating at which a breaker trips at once (IEC 60898): below the first it must not, from the second it
 * must. They are r.m.s. values; the peak of an inrush is set against them as it is, which errs to the safe side.
 */
export const TRIP_MULTIPLES: Readonly<Record<Trip, readonly [number, number]>> = { B: [3, 5], C: [5, 10], D: [10, 20] };

/** What a supply takes from the mains, W, where it gives so many: by its efficiency, as far as its part states one. */
export function mainsWatts({ part }: Supply, watts: number): number {
  return watts / (part?.efficiency.value ?? 1);
}

/** Mains current of a supply, A: its mains power by power factor and mains voltage. */
export function supplyMainsAmps(account: Account, supply: Supply): number {
  const { part, circuit } = supply;
  if (part === undefined || circuit?.volts === undefined) return 0;
  return mainsWatts(supply, account.supplies.get(supply)?.watts ?? 0) / part.powerFactor.value / circuit.volts;
}

/** Mains current of all supplies on a circuit, A. */
export function circuitAmps(account: Account, circuit: Circuit): number {
  let sum = 0;
  for (const supply of account.supplies.keys()) if (supply.circuit === circuit) sum += supplyMainsAmps(account, supply);
  return sum;
}

export interface Summed {
  readonly amps: number;
  /** Supplies that state a value, and those whose part states none and which count as nothing. */
  readonly stated: number;
  readonly silent: readonly Supply[];
}

/** Inrush of all supplies on a circuit that start together, or what they leak together. */
export function summed(plan: Plan, circuit: Circuit, what: 'inrush' | 'leakage'): Summed {
  const on = suppliesOn(plan, circuit);
  const silent = on.filter((supply) => supply.part?.[what] === undefined);
  const amps = on.reduce((sum, supply) => sum + (supply.part?.[what] ?? 0), 0);
  return { amps, stated: on.length - silent.length, silent };
}

export function suppliesOn(plan: Plan, circuit: Circuit): Supply[] {
  return [...plan.supplies.values()].filter((supply) => supply.circuit === circuit);
}

/**
 * The leakage from which a residual-current device may trip, A. IEC 61008: from half its rating. A device of 4 to 6 mA is
 * class A of UL 943, which must hold below 4 mA.
 */
export function residualHolds(rated: number): { readonly amps: number; readonly source: string } {
  return rated >= 0.004 - 1e-9 && rated <= 0.006 + 1e-9
    ? { amps: 0.004, source: 'UL 943 class A holds below 4 mA' }
    : { amps: rated / 2, source: 'IEC 61008: it may trip from half its rating' };
}

/** Volts lost in line and neutral of an extension lead together, at the warmest air; undefined where its cord is not known. */
export function extensionDrop(design: Design, extension: Extension, amps: number): number | undefined {
  const conductor = extension.cord?.conductor;
  return conductor === undefined
    ? undefined
    : 2 * amps * conductorOhms(conductor, extension.length, design.air.value.to);
}

/** An extension lead in use: on a circuit before all of its supplies, or before one supply. */
export interface UsedExtension {
  readonly extension: Extension;
  readonly owner: Circuit | Supply;
  readonly circuit: Circuit | undefined;
  readonly amps: number;
  /** V lost in this lead; and up to here, with the lead of the circuit before it. */
  readonly drop: number | undefined;
  readonly total: number | undefined;
}

export function usedExtensions(plan: Plan, account: Account): UsedExtension[] {
  const { design } = plan;
  const before = new Map<Circuit, number>();
  const used: UsedExtension[] = [];
  for (const circuit of plan.circuits.values()) {
    if (circuit.extension === undefined) continue;
    const amps = circuitAmps(account, circuit);
    const drop = extensionDrop(design, circuit.extension, amps);
    before.set(circuit, drop ?? 0);
    used.push({ extension: circuit.extension, owner: circuit, circuit, amps, drop, total: drop });
  }
  for (const supply of plan.supplies.values()) {
    const { extension, circuit } = supply;
    if (extension === undefined) continue;
    const amps = supplyMainsAmps(account, supply);
    const drop = extensionDrop(design, extension, amps);
    const first = circuit === undefined ? 0 : (before.get(circuit) ?? 0);
    used.push({ extension, owner: supply, circuit, amps, drop, total: drop === undefined ? undefined : drop + first });
  }
  return used;
}
