import type { Finding, Fix, Origin } from '../model/finding.ts';
import type { GapPiece, Run, StringPiece } from '../model/plan.ts';
import { metres } from '../model/texts.ts';
import type { Check, SuggestContext } from './check.ts';
import { exceeds } from './limits.ts';
import { worsens } from './worsens.ts';

export const gapTooLong: Check = {
  code: 'gap-too-long',
  level: 'warning',
  title: 'Data has too far to go from one pixel to the next',
  explanation: `Each pixel sends the data on afresh, but its output is weak: beyond about 3 to 5 m (common practice; datasheets of
the WS2815 and WS2818 say 5 m) the edges smear, and all behind the gap flickers. The limit is the \`gap-limit\` of the part
in front of the gap, 5 m where the part does not say. Neighbouring gaps count as one.

What helps: a dark pixel that repeats the data in the middle of the gap (\`null 1 px of …\`), a buffer there, or another
port for what lies behind.`,
  run: ({ plan }, report) => {
    const { units } = plan.design;
    for (const run of plan.runs.values()) {
      for (const { before, gaps, length } of stretchesWithoutPixel(run)) {
        const limit = before.part.gapLimit;
        const origin = gaps.at(-1)?.origin;
        if (origin === undefined || !exceeds(length, limit.value)) continue;
        report({
          code: 'gap-too-long',
          excess: length / limit.value - 1,
          origin,
          subject: run.name,
          message: `Behind pixel ${before.first + before.count - 1} of ${run.name} data goes ${metres(length, units)} without a pixel; ${before.part.name} reaches ${metres(limit.value, units)} (${limit.source}). Put a null pixel or a buffer between.`,
        });
      }
      for (const piece of widePitches(run)) {
        report({
          code: 'gap-too-long',
          origin: piece.origin,
          subject: run.name,
          message: `These pixels are ${metres(piece.pitch, units)} apart; the data of ${piece.part.name} reaches ${metres(piece.part.gapLimit.value, units)} (${piece.part.gapLimit.source}). Put them closer.`,
        });
      }
    }
  },
  suggest: splitGap,
};

interface Bridge {
  readonly before: StringPiece;
  readonly gaps: readonly GapPiece[];
  readonly length: number;
}

/** Gaps between two pixels of a run, neighbouring ones together; a gap of the same line is told once. */
function stretchesWithoutPixel(run: Run): Bridge[] {
  const found = new Map<string, Bridge>();
  let before: StringPiece | undefined;
  let gaps: GapPiece[] = [];
  for (const piece of run.pieces) {
    if (piece.kind === 'gap') gaps.push(piece);
    if (piece.kind !== 'string') continue;
    if (before !== undefined && before.part.data.protocol !== 'dmx' && gaps.length > 0) {
      const key = `${before.part.name} ${gaps.map(({ origin }) => origin.start).join(' ')}`;
      const length = gaps.reduce((sum, gap) => sum + gap.length, 0);
      if (!found.has(key)) found.set(key, { before, gaps, length });
    }
    before = piece;
    gaps = [];
  }
  return [...found.values()];
}

function widePitches(run: Run): StringPiece[] {
  return run.pieces.filter(
    (piece): piece is StringPiece =>
      piece.kind === 'string' &&
      piece.part.data.protocol !== 'dmx' &&
      piece.strand === 1 &&
      (piece.copies?.number ?? 1) === 1 &&
      piece.count > 1 &&
      exceeds(piece.pitch, piece.part.gapLimit.value),
  );
}

/** The gap in equal parts with a dark pixel between, where the gap is a line of its own and the plan is no worse for it. */
function splitGap(ctx: SuggestContext, finding: Finding): readonly Fix[] {
  const run = ctx.plan.runs.get(finding.subject ?? '');
  const bridge = (run === undefined ? [] : stretchesWithoutPixel(run)).find(({ gaps }) =>
    isSame(gaps.at(-1)?.origin, finding.origin),
  );
  const [gap, ...others] = bridge?.gaps ?? [];
  if (bridge === undefined || gap === undefined || others.length > 0) return [];
  const { origin } = gap;
  const line = origin.declaration.text.slice(origin.start, origin.end);
  if (!/^gap\s/.test(line)) return [];
  const parts = Math.ceil(bridge.length / bridge.before.part.gapLimit.value - 1e-9);
  const of = gap.cable === undefined ? '' : `  of ${gap.cable.name}`;
  const piece = `gap ${metres(bridge.length / parts, ctx.plan.design.units)}${of}`;
  const text = Array.from({ length: parts }, () => piece).join(`\n  null 1 px  of ${bridge.before.part.name}\n  `);
  const edits = [{ origin, text }];
  const after = ctx.preview(edits).findings;
  if (worsens(ctx.preview([]).findings, after)) return [];
  const title = parts === 2 ? 'Put a null pixel in the middle of the gap' : `Put ${parts - 1} null pixels in the gap`;
  return [{ title, edits, preferred: true }];
}

function isSame(a: Origin | undefined, b: Origin): boolean {
  return a?.declaration === b.declaration && a.start === b.start && a.end === b.end;
}
