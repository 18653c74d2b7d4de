import type { Account } from '../model/account.ts';
import type { Circuit } from '../model/plan.ts';
import { amps, rating, shareBeside } from '../model/texts.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';

/** Share of a breaker's rating for a load that lasts three hours or more (NEC 210.20(A), from memory). */
const CONTINUOUS = 0.8;

export const circuitOverloaded: Check = {
  code: 'circuit-overloaded',
  hazard: true,
  level: 'error',
  title: 'A mains circuit carries more than its breaker should',
  needs: needs.loadedCircuits,
  explanation: `A load that lasts three hours or more is held to 80 % of the breaker (NEC 210.20(A), from memory; your local code holds).
The mains current of a supply is its output power divided by efficiency, mains voltage and power factor: a supply without
power factor correction draws nearly twice the current that its watts suggest. Where a part does not state them, 85 % and
55 % are taken (measured values of enclosed supplies).

Mains work is for a licensed electrician and local codes. Outdoor circuits need residual-current protection.`,
  whole: true,
  run: ({ plan, account }, report) => {
    for (const circuit of plan.circuits.values()) {
      if (circuit.amps === undefined || circuit.volts === undefined) continue;
      const load = circuitAmps(account, circuit);
      if (load <= circuit.amps * CONTINUOUS) continue;
      report({
        code: 'circuit-overloaded',
        excess: load / circuit.amps - 1,
        level: load > circuit.amps ? 'error' : 'warning',
        origin: circuit.ampsOrigin,
        subject: circuit.name,
        message: `${circuit.name} carries ${amps(load)}, ${shareBeside(load / circuit.amps, CONTINUOUS)} of its ${rating(circuit.amps)} breaker; 80 % is the most for a load that lasts. Move a supply to another circuit.`,
        related: [...plan.supplies.values()]
          .filter((supply) => supply.circuit === circuit)
          .map((supply) => ({ origin: supply.origin, message: `${supply.name} is on it.` }))
          .slice(0, 8),
      });
    }
  },
};

/** Mains current of all supplies on a circuit, A. */
export function circuitAmps(account: Account, circuit: Circuit): number {
  let sum = 0;
  for (const [supply, load] of account.supplies) {
    if (supply.circuit !== circuit || supply.part === undefined || circuit.volts === undefined) continue;
    sum += load.watts / supply.part.efficiency.value / supply.part.powerFactor.value / circuit.volts;
  }
  return sum;
}
