import type { RailAmps } from '../model/account.ts';
import type { Origin } from '../model/finding.ts';
import type { CablePart } from '../model/plan.ts';
import { amps, doubledText, rating } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const cableOverloaded: Check = {
  code: 'cable-overloaded',
  hazard: true,
  level: 'error',
  ofLoad: true,
  title: 'A lead, gap, feed or board cable carries more than its cable is rated for',
  needs: needs.cables,
  explanation: `The limit is the cable part's \`rated\` line. Where it has none, for a gauge it is the overcurrent limit of NEC
240.4(D) (18 and 16 AWG from memory), for an area the usual rating of flexible cords (HD 21). Cables in bundles or conduit
carry less: see your local code.

What helps: a larger cable, two in parallel (\`x 2\`), or a second feed.`,
  run: ({ account }, report) => {
    const look = (
      cable: CablePart,
      parallel: number,
      load: RailAmps | undefined,
      origin: Origin,
      what: string,
      subject: string,
    ) => {
      if (cable.rated === undefined || load === undefined) return;
      const most = Math.max(Math.abs(load.positive), Math.abs(load.negative));
      const limit = cable.rated.value * parallel;
      if (!exceeds(most, limit)) return;
      report({
        code: 'cable-overloaded',
        excess: most / limit - 1,
        origin,
        subject,
        message: `${what} carries ${amps(most)}; ${cable.name}${doubledText(parallel)} is rated for ${rating(limit)} (${cable.rated.source}). Use a larger cable or feed from another place too.`,
        related: [{ origin: cable.origin, message: `${cable.name} is described here.` }],
      });
    };
    for (const run of account.runs.values()) {
      for (const [piece, load] of run.cables) {
        if (piece.kind === 'lead')
          look(piece.cable, 1, load, piece.origin, `The lead of ${run.run.name}`, run.run.name);
        if (piece.kind === 'gap' && piece.cable !== undefined)
          look(piece.cable, 1, load, piece.origin, `This gap of ${run.run.name}`, run.run.name);
      }
    }
    for (const { board, cable } of account.boards.values())
      look(board.cable, board.parallel, cable, board.cableOrigin, `The cable to ${board.name}`, board.name);
    for (const feed of account.feeds.values()) {
      for (const [index, piece] of feed.feed.pieces.entries()) {
        if (piece.kind === 'cable')
          look(piece.cable, piece.parallel, feed.pieces[index], piece.cableOrigin, feed.feed.name, feed.feed.name);
      }
    }
  },
};
