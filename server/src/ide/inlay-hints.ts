import type { SourceFile } from '#grammar/source.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { circuitAmps } from '../model/circuit-load.ts';
import type { Origin } from '../model/finding.ts';
import type { Board, Circuit, Run, Supply } from '../model/plan.ts';
import { amps, share } from '../model/texts.ts';
import type { Card } from './card.ts';
import { outputCard } from './cards/power-cards.ts';
import { cablesText, routeCard } from './cards/site-cards.ts';
import { thingCard } from './cards/thing-card.ts';
import { boardText, feedText, runText, supplyText } from './figures.ts';
import { fileIn, spanOf } from './file-span.ts';

/** A computed figure shown at the end of a line. */
export interface InlayHint {
  readonly offset: number;
  readonly text: string;
  readonly family: HintFamily;
  /** Where the figure comes from, shown when a person points at it. */
  readonly card: () => Card;
  /** What the figure is about, where that stands elsewhere: the lowest string, the output that feeds, the rated part. */
  readonly about: Origin | undefined;
}

export const HINT_FAMILIES = ['runs', 'feeds', 'outputs', 'supplies', 'circuits', 'routes'] as const;
export type HintFamily = (typeof HINT_FAMILIES)[number];

/** Hints of the lines that a span of a file touches. */
export function inlayHintsOf(analysis: Analysis, uri: string, span: { start: number; end: number }): InlayHint[] {
  const file = fileIn(analysis, uri);
  if (file === undefined) return [];
  const hints: InlayHint[] = [];
  const add = (family: HintFamily, origin: Origin, text: string | undefined, card: () => Card, about?: Origin) => {
    if (text === undefined || origin.uri !== uri) return;
    const place = spanOf(analysis, origin);
    if (place === undefined) return;
    const offset = lineEnd(file, place.start);
    if (offset >= span.start && place.start <= span.end) hints.push({ offset, text, family, card, about });
  };
  const { plan } = analysis;
  for (const run of plan.runs.values())
    add('runs', run.origin, runText(analysis, run), () => thingCard(analysis, run), lowestString(analysis, run));
  for (const feed of plan.feeds.values())
    add('feeds', feed.origin, feedText(analysis, feed), () => thingCard(analysis, feed), feed.from?.origin);
  for (const supply of plan.supplies.values()) {
    add(
      'supplies',
      supply.origin,
      supplyText(analysis, supply),
      () => thingCard(analysis, supply),
      supply.part?.origin,
    );
    for (const hint of outputTexts(analysis, supply)) add('outputs', hint.origin, hint.text, hint.card);
  }
  for (const board of plan.boards.values()) {
    add('outputs', board.origin, boardText(analysis, board), () => thingCard(analysis, board));
    for (const hint of outputTexts(analysis, board)) add('outputs', hint.origin, hint.text, hint.card);
  }
  for (const circuit of plan.circuits.values())
    add('circuits', circuit.origin, circuitText(analysis, circuit), () => thingCard(analysis, circuit));
  for (const route of plan.routes)
    add('routes', route.origin, cablesText(plan, route, 'was'), () => routeCard(analysis, route));
  return hints.sort((a, b) => a.offset - b.offset);
}

/** The string with the pixel of least volts. */
function lowestString({ account }: Analysis, run: Run): Origin | undefined {
  const load = account.runs.get(run);
  return load?.strings.find(({ least }) => least.pixel === load.least?.pixel)?.piece.origin;
}

/** Inrush and leakage are told when it is pointed at: a hint is read in passing. */
function circuitText({ account }: Analysis, circuit: Circuit): string | undefined {
  const load = circuitAmps(account, circuit);
  return circuit.amps === undefined || load === 0 ? undefined : `${amps(load)}, ${share(load / circuit.amps)}`;
}

/** One hint for each line; a line of several outputs shows the one that is used most. */
function outputTexts(analysis: Analysis, owner: Supply | Board): { origin: Origin; text: string; card: () => Card }[] {
  const lines = new Map<number, { origin: Origin; text: string; card: () => Card; load: number }>();
  for (const output of owner.outputs.values()) {
    const load = analysis.account.outputs.get(output);
    if (load === undefined || output.fuse === undefined) continue;
    const part = load / output.fuse.amps;
    const before = lines.get(output.origin.start);
    if (before !== undefined && before.load >= part) continue;
    const card = () => outputCard(analysis, output);
    const text = before === undefined && !isSeveral(output.origin) ? share(part) : `${output.number}: ${share(part)}`;
    lines.set(output.origin.start, { origin: output.origin, text, card, load: part });
  }
  return [...lines.values()];
}

function isSeveral({ declaration, start, end }: Origin): boolean {
  return declaration.text.slice(start, end) === 'outputs';
}

/** The end of the text of a line, in front of a comment behind it. */
function lineEnd({ text }: SourceFile, from: number): number {
  let quoted = false;
  let end = from;
  for (let at = from; at < text.length; at++) {
    const unit = text[at];
    if (unit === '\n' || unit === '\r' || (unit === '#' && !quoted)) break;
    if (unit === '"') quoted = !quoted;
    if (unit !== ' ' && unit !== '\t') end = at + 1;
  }
  return end;
}
