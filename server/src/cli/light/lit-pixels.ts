import type { Word } from '#grammar/ast.ts';
import { readSource } from '#grammar/source.ts';
import { jointIn, stringsOf } from '../../model/builders/feeds.ts';
import { firstPixelOf } from '../../model/fixtures.ts';
import { Names } from '../../model/names.ts';
import { isNull } from '../../model/null-pixels.ts';
import type { Plan, Run, StringPiece } from '../../model/plan.ts';
import { UsageError } from '../command.ts';

/** A pixel to light: its number among those of its run that have addresses, and the string or panel that it is on. */
export interface LitPixel {
  readonly run: Run;
  readonly pixel: number;
  readonly piece: StringPiece;
}

/**
 * The pixels that a reference in the words of a plan names: a run, a part of one, one pixel, or a prop wherever it hangs.
 * Dark pixels and floods have no data and are left out. Throws a UsageError where there is no such thing.
 */
export function litPixels(plan: Plan, what: string): LitPixel[] {
  const declaration = readSource('', `expect ${what}`).declarations[0];
  const items = declaration?.statements[0]?.items ?? [];
  const word = items[1];
  if (declaration === undefined || items.length !== 2 || word?.kind !== 'word' || declaration.problems.length > 0)
    throw new UsageError(`"${what}" names nothing to light. Write it as in the plan: eaves, eaves.gable, eaves[116]`);
  const origin = { uri: '', declaration, start: word.span.start, end: word.span.end };
  const { text: name, steps, nameSpan } = word;
  const given = { value: { name, steps, nameEnd: nameSpan.end }, origin, text: what };
  const prop = plan.props.get(word.text);
  if (prop !== undefined && !plan.runs.has(word.text)) return ofProp(plan, prop.lines, word);
  const problems: string[] = [];
  const ctx = { report: ({ message }: { message: string }) => problems.push(message), uses: [] };
  const runs = new Names<Run>(ctx, 'run', new Map(plan.runs));
  const found = stringsOf({ ...ctx, runs }, given);
  const joint = found?.pixel === undefined ? undefined : jointIn(ctx, found.run, found.chosen, found.pixel, given);
  if (found === undefined || (found.pixel !== undefined && joint === undefined))
    throw new UsageError(problems[0] ?? `${what} has no pixels.`);
  if (joint === undefined) return found.chosen.flatMap((piece) => ofPiece(found.run, piece));
  const all = ofPiece(found.run, joint.piece);
  // The joint before a string is lit by its first pixel; a panel is one load, and lit as a whole.
  const at = Math.max(joint.pixel, 1) - 1;
  return joint.piece.part.panel === undefined ? all.slice(at, at + 1) : all;
}

function ofProp(plan: Plan, lines: readonly object[], word: Word): LitPixel[] {
  if (word.steps.length > 0) throw new UsageError(`a prop is lit as a whole: ${word.text}`);
  return [...plan.runs.values()].flatMap((run) =>
    run.pieces.flatMap((piece) => (piece.kind === 'string' && lines.includes(piece.line) ? ofPiece(run, piece) : [])),
  );
}

function ofPiece(run: Run, piece: StringPiece): LitPixel[] {
  const { panel, kind } = piece.part;
  if (kind === 'flood' || isNull(piece.line)) return [];
  const first = panel === undefined ? piece.first : firstPixelOf(run, piece.first);
  const count = panel === undefined ? piece.count : panel.rows * panel.columns;
  return Array.from({ length: count }, (_, index) => ({ run, piece, pixel: first + index }));
}
