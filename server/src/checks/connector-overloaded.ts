import { sure } from '#grammar/sure.ts';
import { amps, rating } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const connectorOverloaded: Check = {
  code: 'connector-overloaded',
  hazard: true,
  level: 'error',
  ofLoad: true,
  title: 'A connector carries more than its contacts are rated for',
  needs: needs.connectors,
  explanation: `The small waterproof connectors between strings are held to 3 to 5 A a contact (common practice; they are unlisted
parts). Beyond that they brown, their resistance grows, and the drop across them with it.

What helps: inject power behind the connector, so that less flows through it, or use a larger connector at a feed's tap.`,
  run: ({ account }, report) => {
    for (const run of account.runs.values()) {
      for (const string of run.strings) {
        const connector = string.piece.part.ends;
        if (connector?.rated === undefined || !exceeds(string.contactAmps, connector.rated)) continue;
        report({
          code: 'connector-overloaded',
          excess: string.contactAmps / connector.rated - 1,
          origin: string.piece.origin,
          subject: run.run.name,
          message: `A ${connector.name} at this string of ${run.run.name} carries ${amps(string.contactAmps)}; it is rated for ${rating(connector.rated)}. Inject power behind it.`,
          related: [{ origin: connector.origin, message: `${connector.name} is described here.` }],
        });
        break; // One per run: the cure is the same for all.
      }
    }
    for (const feed of account.feeds.values()) {
      for (const [index, piece] of feed.feed.pieces.entries()) {
        if (piece.kind !== 'tap' || piece.connector?.rated === undefined) continue;
        const carried = sure(feed.pieces[index]);
        const load = Math.max(Math.abs(carried.positive), Math.abs(carried.negative));
        if (!exceeds(load, piece.connector.rated)) continue;
        report({
          code: 'connector-overloaded',
          excess: load / piece.connector.rated - 1,
          origin: piece.origin,
          subject: feed.feed.name,
          message: `The ${piece.connector.name} at this tap carries ${amps(load)}; it is rated for ${rating(piece.connector.rated)}. Use a larger one.`,
          related: [{ origin: piece.connector.origin, message: `${piece.connector.name} is described here.` }],
        });
      }
    }
  },
};
