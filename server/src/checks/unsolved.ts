import { circuitLimits } from '../electrics/validate.ts';
import { placeOfNode } from '../model/place-of-node.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';

export const unsolved: Check = {
  code: 'unsolved',
  level: 'error',
  title: 'The voltages of this part of the plan could not be found',
  needs: needs.islands,
  explanation: `The equations of this part of the plan have no steady answer, or none was found. Often a load asks for more power than
its wires can bring (a converter at the end of a long thin cable): its voltage then collapses. Everything else in the plan is
computed as usual.

What helps: look at the named place; inject power there, or use thicker wire.`,
  run: ({ account }, report) => {
    for (const { island, circuit, outcome } of account.islands) {
      if (outcome.status === 'solved') continue;
      const pixels = circuit.circuit.stretches.reduce((sum, { count }) => sum + count, 0);
      const names = island.runs.map((run) => run.name);
      const lost = `Nothing is computed for ${names.slice(0, 5).join(', ')}${names.length > 5 ? ` and ${names.length - 5} more` : ''}.`;
      const first = island.runs[0] ?? island.supplies[0] ?? island.feeds[0] ?? island.controllers[0];
      if (pixels > circuitLimits.mostPixels) {
        if (first === undefined) continue;
        const message = `${pixels.toLocaleString('en')} pixels are joined in one circuit; more than ${circuitLimits.mostPixels.toLocaleString('en')} are not computed. ${lost} Check the counts, or part the circuit.`;
        report({ code: 'unsolved', origin: first.origin, subject: first.name, message });
        continue;
      }
      const { name, origin = first?.origin, thing = first?.name } = placeOfNode(circuit, outcome.node);
      if (origin === undefined) continue;
      const message = `No steady voltages were found around ${name}: the wires there may be too thin for the load. ${lost} Inject power there, or use thicker wire.`;
      report({ code: 'unsolved', origin, ...(thing === undefined ? {} : { subject: thing }), message });
    }
  },
};
