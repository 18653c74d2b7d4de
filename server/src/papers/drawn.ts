import type { Analysis } from '../analysis/analysis.ts';
import { siteDrawing } from '../drawing/site-drawing.ts';
import { laneDrawings } from '../drawing/wiring-drawing.ts';
import type { Paper } from './paper.ts';

/** Narrow enough that labels can still be read where a sheet is 180 mm wide. */
const PAPER = 680;

/** Papers that are drawn. */
export function wiring({ plan, account }: Analysis): Paper {
  return {
    id: 'wiring',
    title: 'Wiring, run by run',
    intro:
      'Strings and gaps to scale, data from left to right. Above each run the feeds that join it, with the output and the fuse that they start at; the triangle marks where the voltage is least.',
    tables: [],
    drawings: laneDrawings(plan, account, PAPER),
  };
}

/** Some runs of one side of a comparison; none where it has none of them. */
export function runsDrawn(
  { plan, account }: Analysis,
  names: ReadonlySet<string>,
  head: Pick<Paper, 'id' | 'title' | 'intro'>,
): Paper[] {
  const drawings = laneDrawings(plan, account, PAPER, ({ name }) => names.has(name));
  return drawings.length === 0 ? [] : [{ ...head, tables: [], drawings }];
}

export function site({ plan }: Analysis): Paper {
  return {
    id: 'site',
    title: 'Places and ways',
    intro: 'What stands and hangs where, and how many cables take which way. Doubled cables count as two.',
    tables: [],
    drawings: plan.places.size === 0 ? [] : [siteDrawing(plan)],
  };
}
