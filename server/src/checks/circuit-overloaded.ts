import { circuitAmps } from '../model/circuit-load.ts';
import { amps, rating, share, shareBeside } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const circuitOverloaded: Check = {
  code: 'circuit-overloaded',
  hazard: true,
  level: 'error',
  title: 'A mains circuit carries more than its breaker should',
  needs: needs.loadedCircuits,
  explanation: `A load that lasts three hours or more is held to 80 % of the breaker (NEC 210.20(A), from memory; your local code holds: \`continuous 100 %\` on the circuit).
The mains current of a supply is its output power divided by efficiency, mains voltage and power factor: a supply without
power factor correction draws nearly twice the current that its watts suggest. Where a part does not state them, 85 % and
55 % are taken (measured values of enclosed supplies).

Mains work is for a licensed electrician and local codes. Outdoor circuits need residual-current protection.`,
  whole: true,
  run: ({ plan, account }, report) => {
    for (const circuit of plan.circuits.values()) {
      if (circuit.amps === undefined || circuit.volts === undefined) continue;
      const most = circuit.continuous.value;
      const load = circuitAmps(account, circuit);
      if (!exceeds(load, circuit.amps * most)) continue;
      report({
        code: 'circuit-overloaded',
        excess: load / (circuit.amps * most) - 1,
        level: exceeds(load, circuit.amps) ? 'error' : 'warning',
        origin: circuit.ampsOrigin,
        subject: circuit.name,
        message: `${circuit.name} carries ${amps(load)}, ${shareBeside(load / circuit.amps, most)} of its ${rating(circuit.amps)} breaker; ${share(most)} is the most for a load that lasts. Move a supply to another circuit.`,
        related: [...plan.supplies.values()]
          .filter((supply) => supply.circuit === circuit)
          .map((supply) => ({ origin: supply.origin, message: `${supply.name} is on it.` })),
      });
    }
  },
};
