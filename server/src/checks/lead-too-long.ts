import type { Run } from '../model/plan.ts';
import { metres } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const leadTooLong: Check = {
  code: 'lead-too-long',
  level: 'warning',
  title: 'Raw data has too far to go to the first pixel',
  needs: needs.leads,
  explanation: `Raw pixel data is a fast single-ended signal. From a port to the first pixel it reaches about 5 to 10 m (common practice);
beyond that its edges smear and the first pixels flicker. The limit is the board's \`lead-limit\`.

What helps: put the controller nearer, or a receiver beside the prop.`,
  run: ({ plan }, report) => {
    for (const run of plan.runs.values()) {
      const limit = run.controller?.part?.leadLimit;
      if (limit === undefined || isDifferential(run)) continue;
      for (const piece of run.pieces) {
        if (piece.kind !== 'lead' || !exceeds(piece.length, limit.value)) continue;
        report({
          code: 'lead-too-long',
          origin: piece.lengthOrigin,
          subject: run.name,
          message: `This lead is ${metres(piece.length, plan.design.units)} long; raw data from ${run.controller?.part?.name ?? 'the port'} reaches ${metres(limit.value, plan.design.units)} (${limit.source}). Put the controller nearer, or a receiver beside the run.`,
        });
      }
    }
  },
};

/** DMX512-A goes over a differential pair, which reaches further than the first pixel of any lead here. */
function isDifferential(run: Run): boolean {
  const first = run.pieces.find((piece) => piece.kind === 'string');
  return first?.kind === 'string' && first.part.data.protocol === 'dmx';
}
