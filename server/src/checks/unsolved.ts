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
      const place = circuit.nodes[outcome.node] ?? 'an unknown place';
      const thing = island.runs[0] ?? island.supplies[0] ?? island.feeds[0] ?? island.controllers[0];
      if (thing === undefined) continue;
      report({
        code: 'unsolved',
        origin: thing.origin,
        subject: thing.name,
        message: `No steady voltages were found around ${place}: the wires there may be too thin for the load. Nothing is computed for ${island.runs
          .map((run) => run.name)
          .slice(0, 5)
          .join(', ')}.`,
      });
    }
  },
};
