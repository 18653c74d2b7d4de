import type { Position, Range, TextDocumentIdentifier } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { runDrawing } from '../drawing/run-drawing.ts';
import type { Drawing, Group, Shape } from '../drawing/shape.ts';
import { siteDrawing } from '../drawing/site-drawing.ts';
import { wiringDrawing } from '../drawing/wiring-drawing.ts';
import { spanOf } from '../ide/file-span.ts';
import type { Run } from '../model/plan.ts';
import { SolutionCache } from '../model/solution-cache.ts';
import type { ServerContext } from './context.ts';
import { type Asked, offsetOf, onFile } from './from-lsp.ts';

/** `festoon/drawing`: what to draw of the plan that a file belongs to. */
export interface DrawingParams {
  readonly textDocument: TextDocumentIdentifier;
  readonly view: 'wiring' | 'run' | 'site';
  /** For a run: its name, or else where the cursor stands. */
  readonly run?: string;
  readonly position?: Position;
  /** Pixels of the screen that there is room for. */
  readonly width?: number;
}

/** The drawing as plain data, with places of the protocol. */
export interface DrawingResult extends Omit<Drawing, 'shapes'> {
  readonly shapes: readonly PlacedShape[];
  /** All runs of the plan, and the one that is drawn. */
  readonly runs: readonly string[];
  readonly run: string | undefined;
}

type PlacedShape = Exclude<Shape, Group> | PlacedGroup;

interface PlacedGroup extends Omit<Group, 'origin' | 'shapes'> {
  readonly place: { readonly uri: string; readonly range: Range } | undefined;
  readonly shapes: readonly PlacedShape[];
}

/** Larger drawings than this cannot be looked at, and would be slow to send. */
const MOST_RUNS = 400;
const NARROWEST = 560;
const WIDEST = 3000;

export function handleDrawings(ctx: ServerContext): void {
  const cache = new SolutionCache();
  ctx.connection.onRequest(
    'festoon/drawing',
    onFile<DrawingParams, DrawingResult | null>(ctx, 'festoon/drawing', null, (asked, params) => {
      const runs = [...asked.analysis.plan.runs.keys()].slice(0, MOST_RUNS);
      const run = params.view === 'run' ? runOf(asked, params) : undefined;
      const width = Math.min(WIDEST, Math.max(NARROWEST, Number(params.width) || NARROWEST));
      const drawing = drawingOf(asked.analysis, params.view, run, width, cache);
      const shapes = drawing.shapes.map((shape) => placed(asked, shape));
      return { ...drawing, shapes, runs, run: run?.name };
    }),
  );
}

/** A view of a plan; for a run: of that, where there is one. */
export function drawingOf(
  { plan, account }: Analysis,
  view: DrawingParams['view'],
  run: Run | undefined,
  width: number,
  cache: SolutionCache,
): Drawing {
  if (view === 'site') return siteDrawing(plan);
  if (run === undefined) return wiringDrawing(plan, account, MOST_RUNS, width);
  return runDrawing(plan, account, run, cache, width);
}

/** The run that is named, the one that the cursor stands in, one that a feed there joins, or the first. */
function runOf(asked: Asked, { run, position }: DrawingParams): Run | undefined {
  const { plan } = asked.analysis;
  const named = run === undefined ? undefined : plan.runs.get(run);
  if (named !== undefined) return named;
  if (position !== undefined) {
    const offset = offsetOf(asked, position);
    const isHere = (thing: { readonly whole: Run['whole'] }) => holds(asked.analysis, thing.whole, asked.key, offset);
    const here = [...plan.runs.values()].find(isHere);
    if (here !== undefined) return here;
    const feed = [...plan.feeds.values()].find(isHere);
    const tap = feed?.pieces.find((piece) => piece.kind === 'tap');
    if (tap?.kind === 'tap') return tap.tap.run;
  }
  return plan.runs.values().next().value;
}

function holds(analysis: Analysis, origin: Run['whole'], key: string, offset: number): boolean {
  const span = spanOf(analysis, origin);
  return span !== undefined && span.uri === key && span.start <= offset && offset <= span.end;
}

function placed(asked: Asked, shape: Shape): PlacedShape {
  if (shape.kind !== 'group') return shape;
  const { says, origin, shapes } = shape;
  const span = origin === undefined ? undefined : spanOf(asked.analysis, origin);
  return {
    kind: 'group',
    says,
    place: span === undefined ? undefined : asked.to.location(asked.analysis, span),
    shapes: shapes.map((each) => placed(asked, each)),
  };
}
