import { residualHolds, summed, suppliesOn } from '../model/circuit-load.ts';
import { count } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';

export const residualCurrent: Check = {
  code: 'residual-current',
  level: 'warning',
  title: 'The supplies of a circuit leak so much that its residual-current device may trip',
  explanation: `The filter of every supply leaks a little to earth (\`leakage 0.5 mA\` on the part, from its sheet), and all of it goes
through one residual-current device. Such a device may trip from half its rating (IEC 61008); one of class A, 4 to 6 mA, holds
below 4 mA (UL 943). Rain adds to it. Supplies whose part states no leakage are not counted.

What helps: fewer supplies on the circuit, or a device of their own for some of them. Never do without the device outdoors.
Mains work is for a licensed electrician and local codes.`,
  whole: true,
  run: ({ plan }, report) => {
    for (const circuit of plan.circuits.values()) {
      if (circuit.residual === undefined) continue;
      const rated = circuit.residual.value;
      const { amps, silent } = summed(plan, circuit, 'leakage');
      const holds = residualHolds(rated);
      if (!exceeds(amps, holds.amps)) continue;
      const left =
        silent.length === 0
          ? ''
          : ` ${count(silent.length, 'supply', 'supplies')} without a stated leakage not counted.`;
      report({
        code: 'residual-current',
        level: exceeds(amps, rated) ? 'error' : 'warning',
        excess: amps / holds.amps - 1,
        origin: circuit.residual.origin ?? circuit.origin,
        subject: circuit.name,
        message: `The supplies on ${circuit.name} leak ${milliamps(amps)} together. Its ${milliamps(rated)} device may trip from ${milliamps(holds.amps)} (${holds.source}), and rain adds to it. Put some of them on another circuit.${left}`,
        related: suppliesOn(plan, circuit)
          .filter((supply) => supply.part?.leakage !== undefined)
          .map((supply) => ({
            origin: supply.origin,
            message: `${supply.name} leaks ${milliamps(supply.part?.leakage ?? 0)}.`,
          })),
      });
    }
  },
};

function milliamps(amps: number): string {
  return `${Number((amps * 1000).toPrecision(3))} mA`;
}
