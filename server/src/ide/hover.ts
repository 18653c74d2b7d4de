import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../analysis/analysis.ts';
import type { Run } from '../model/plan.ts';
import type { Card } from './card.ts';
import { codeCard, expectationCard } from './cards/claim-cards.ts';
import { seasonFacts } from './cards/mains-cards.ts';
import { quantityCard } from './cards/quantity-card.ts';
import { pixelCard } from './cards/run-card.ts';
import { portCard, routeCard } from './cards/site-cards.ts';
import { thingCard } from './cards/thing-card.ts';
import { keywordCard, phraseCard } from './cards/word-card.ts';
import { fileIn } from './file-span.ts';
import { thingAt } from './names.ts';
import { entryOfPath, type LinePart, readLine } from './read-line.ts';
import { type Token, tokenAt } from './token-at.ts';

export interface Hover {
  readonly card: Card;
  readonly start: number;
  readonly end: number;
}

/** What there is to say about whatever stands at an offset; nothing about blanks, comments and texts. */
export function hoverAt(analysis: Analysis, uri: string, offset: number): Hover | undefined {
  const file = fileIn(analysis, uri);
  const token = file === undefined ? undefined : tokenAt(file, offset);
  if (token === undefined) return undefined;
  const card = cardAt(analysis, token);
  return card === undefined
    ? undefined
    : { card, start: token.base + token.span.start, end: token.base + token.span.end };
}

function cardAt(analysis: Analysis, token: Token): Card | undefined {
  const thing = thingAt(analysis, token);
  const entry = entryOfPath(token.path);
  const part = entry === undefined ? undefined : readLine(sure(token.path.at(-1)).items, entry).parts[token.index];
  if (thing !== undefined && part?.role !== 'keyword') return thingCard(analysis, thing);
  if (entry === undefined || part === undefined) return undefined;
  const stepCard = token.step === undefined ? undefined : cardOfStep(analysis, token, part);
  if (stepCard !== undefined) return stepCard;
  switch (part.role) {
    case 'keyword':
      return withSeason(analysis, entry.word, withRoute(analysis, token, keywordCard(entry)));
    case 'lead':
    case 'joiner':
      return part.phrase === undefined ? undefined : phraseCard(entry, part.phrase);
    default:
      return expectationAt(analysis, token, part) ?? valueCard(token, part, entry);
  }
}

/** The limit of an expectation tells what is computed. */
function expectationAt(analysis: Analysis, token: Token, { item, phrase }: LinePart): Card | undefined {
  if (item.kind !== 'quantity' || phrase?.key !== 'limit') return undefined;
  const found = analysis.claims.expectations.find(
    ({ limitOrigin }) => limitOrigin.declaration === token.declaration && limitOrigin.start === item.span.start,
  );
  return found === undefined ? undefined : expectationCard(analysis, found);
}

function valueCard(
  token: Token,
  { item, phrase }: LinePart,
  entry: NonNullable<ReturnType<typeof entryOfPath>>,
): Card | undefined {
  if (item.kind === 'quantity') {
    const text = token.declaration.text.slice(item.span.start, item.span.end);
    const origin = { uri: token.file.uri, declaration: token.declaration, start: item.span.start, end: item.span.end };
    return quantityCard(item, text, origin, entry, phrase);
  }
  if (item.kind !== 'word' || phrase === undefined) return undefined;
  if (phrase.value.type === 'code') return codeCard(item.text);
  const isWord = phrase.value.type === 'choice' || phrase.value.type === 'choices';
  return isWord ? { ...phraseCard(entry, phrase), kind: `${entry.word} …`, name: item.text } : undefined;
}

/** `box.1` is a port, `eaves[116]` a pixel, `eaves.end` the last one. */
function cardOfStep(analysis: Analysis, token: Token, { phrase, item }: LinePart): Card | undefined {
  const { step } = token;
  if (step === undefined || item.kind !== 'word' || phrase?.value.type !== 'reference') return undefined;
  if (phrase.value.to.includes('port')) {
    const controller = analysis.plan.controllers.get(item.text);
    const port = step.kind === 'member' ? Number(step.name) : Number.NaN;
    return controller === undefined || !Number.isInteger(port) ? undefined : portCard(analysis, controller, port);
  }
  const run = analysis.plan.runs.get(item.text);
  const pixel = run === undefined ? undefined : pixelMeant(analysis, token, run);
  return run === undefined || pixel === undefined ? undefined : pixelCard(analysis, run, pixel);
}

/** The pixel that a tap's reference names: as the feeds that use it were read. */
function pixelMeant(analysis: Analysis, token: Token, run: Run): number | undefined {
  for (const { subject, origin } of analysis.claims.expectations) {
    if (subject.kind !== 'joint' || subject.run !== run || origin.declaration !== token.declaration) continue;
    if (origin.start <= token.span.start && origin.end >= token.span.end)
      return subject.piece.first + Math.max(subject.pixel, 1) - 1;
  }
  for (const feed of analysis.plan.feeds.values()) {
    for (const piece of feed.pieces) {
      if (piece.kind !== 'tap' || piece.tap.run !== run) continue;
      const { origin } = piece.tap;
      if (origin.declaration !== token.declaration || origin.start > token.span.start || origin.end < token.span.end)
        continue;
      return piece.tap.piece.first + Math.max(piece.tap.pixel, 1) - 1;
    }
  }
  return undefined;
}

/** A route has no name to point at, so its keyword tells what passes. */
function withRoute(analysis: Analysis, token: Token, card: Card): Card {
  const line = token.path.at(-1);
  const route = analysis.plan.routes.find(
    ({ origin }) =>
      line !== undefined &&
      origin.declaration === token.declaration &&
      origin.start >= line.span.start &&
      origin.end <= line.span.end,
  );
  if (route === undefined) return card;
  const found = routeCard(analysis, route);
  return { ...found, description: card.description, example: card.example };
}

/** The plan and its season have no names to point at either: their keywords tell the energy and its cost. */
function withSeason(analysis: Analysis, word: string, card: Card): Card {
  return word === 'plan' || word === 'season' ? { ...card, facts: [...card.facts, ...seasonFacts(analysis)] } : card;
}
