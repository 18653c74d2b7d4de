import { summed, suppliesOn, TRIP_MULTIPLES } from '../model/circuit-load.ts';
import { count, rating } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';

export const circuitInrush: Check = {
  code: 'circuit-inrush',
  level: 'warning',
  title: 'All supplies of a circuit starting together may trip its breaker',
  explanation: `An enclosed supply charges its capacitors at a cold start: for some milliseconds it draws many times its running
current (\`inrush 60 A\` on the part, from its sheet). A breaker trips at once from a multiple of its rating, by its type:
B from 3 to 5 times, C from 5 to 10, D from 10 to 20 (IEC 60898; write \`trip C\` on the circuit). Below the first multiple it
holds, from the second it trips, between them it may. Those are r.m.s. values and the inrush is a peak of a few milliseconds,
so this errs to the safe side. Supplies that are warm, or far away on a thin lead, draw less.

Where the circuit does not say its type, B is assumed and this is only for information. Supplies whose part states no inrush
are not counted.

What helps: switch the supplies on one after the other, spread them over circuits, or ask a licensed electrician about a
breaker of a slower type. Mains work is for a licensed electrician and local codes.`,
  whole: true,
  run: ({ plan }, report) => {
    for (const circuit of plan.circuits.values()) {
      if (circuit.amps === undefined) continue;
      const { amps, silent } = summed(plan, circuit, 'inrush');
      const [holds, trips] = TRIP_MULTIPLES[circuit.trip.value];
      const limit = holds * circuit.amps;
      if (!exceeds(amps, limit)) continue;
      const type = circuit.trip.origin === undefined ? 'assumed, since the circuit does not say' : 'IEC 60898';
      const left =
        silent.length === 0
          ? ''
          : ` ${count(silent.length, 'supply', 'supplies')} without a stated inrush not counted.`;
      report({
        code: 'circuit-inrush',
        ...(circuit.trip.origin === undefined ? { level: 'information' as const } : {}),
        excess: amps / limit - 1,
        origin: circuit.trip.origin ?? circuit.ampsOrigin,
        subject: circuit.name,
        message: `Started together, the supplies on ${circuit.name} draw up to ${rating(amps)} for a moment. Its ${rating(circuit.amps)} breaker of type ${circuit.trip.value} (${type}) may trip at once from ${rating(limit)} and must from ${rating(trips * circuit.amps)}. Switch them on one after the other, or spread them over circuits.${left}`,
        related: suppliesOn(plan, circuit)
          .filter((supply) => supply.part?.inrush !== undefined)
          .map((supply) => ({
            origin: supply.origin,
            message: `${supply.name} starts with ${rating(supply.part?.inrush ?? 0)}.`,
          })),
      });
    }
  },
};
