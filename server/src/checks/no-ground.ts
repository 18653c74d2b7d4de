import type { Run } from '../model/plan.ts';
import { portOrigin } from '../model/port-of.ts';
import { Zones } from '../model/zones.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';

export const noGround: Check = {
  code: 'no-ground',
  level: 'error',
  title: 'A run has no common ground with its controller or its supply',
  needs: needs.runs,
  explanation: `Data is a voltage against ground. Without a ground conductor between the controller and the first pixel the pixels see
noise: they flicker, or light at random. And the current of a feed has to come back: without ground it finds another way,
through a data line or not at all.

What helps: a lead with a ground conductor, a bond between the grounds of the supplies (\`bond … from psu-a to psu-b\`).`,
  run: ({ account }, report) => {
    for (const solved of account.islands) {
      const { circuit } = solved;
      const zones = new Zones(circuit);
      for (const run of solved.island.runs) {
        const start = circuit.runStarts.get(run);
        const board = run.controller === undefined ? undefined : circuit.controllers.get(run.controller);
        if (start === undefined || board === undefined || zones.joined(start.negative, board.negative)) continue;
        report({
          code: 'no-ground',
          origin: portOrigin(run),
          subject: run.name,
          message: `${run.name} has no ground in common with ${run.controller?.name ?? 'its controller'}, so its data has no reference. Use a lead with a ground conductor, or bond the grounds.`,
          related: run.pieces.flatMap((piece) =>
            piece.kind === 'lead'
              ? [{ origin: piece.origin, message: `${piece.cable.name} carries ${[...piece.cable.cores].join(', ')}.` }]
              : [],
          ),
        });
      }
      const told = new Set<Run>();
      for (const [index, { run, piece, first }] of circuit.stretches.entries()) {
        const start = circuit.runStarts.get(run);
        const stretch = circuit.circuit.stretches[index];
        if (start === undefined || stretch === undefined || told.has(run)) continue;
        if (zones.joined(start.negative, stretch.negativeStart)) continue;
        told.add(run);
        report({
          code: 'no-ground',
          origin: piece.origin,
          subject: run.name,
          message: `From pixel ${first} on ${run.name} has no ground in common with what is before it, so its data has no reference. Use a gap with a ground conductor, or bond the grounds.`,
        });
      }
      for (const feed of solved.island.feeds) {
        const bare = feed.pieces.find((piece) => piece.kind === 'cable' && !piece.cable.cores.has('ground'));
        const supply = feed.from === undefined ? undefined : circuit.supplies.get(feed.from.supply);
        if (bare?.kind !== 'cable' || supply === undefined) continue;
        const home = feed.pieces.every((piece) => {
          const start = piece.kind === 'tap' ? circuit.runStarts.get(piece.tap.run) : undefined;
          return start === undefined || zones.joined(start.negative, supply.negative);
        });
        if (home) continue;
        report({
          code: 'no-ground',
          origin: bare.cableOrigin,
          subject: feed.name,
          message: `${bare.cable.name} carries no ground and nothing else joins ${feed.from?.supply.name ?? 'the supply'} to the run: its current has no way back.`,
        });
      }
    }
  },
};
