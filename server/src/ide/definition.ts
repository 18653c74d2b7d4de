import type { Analysis } from '../analysis/analysis.ts';
import { type FileSpan, fileIn, spanOf } from './file-span.ts';
import { linkAt } from './links.ts';
import { declarationOf, namesOf, type Thing, thingAt } from './names.ts';
import { type Token, tokenAt } from './token-at.ts';

export interface Destination {
  /** What the destination was reached from. */
  readonly from: { readonly start: number; readonly end: number };
  /** The name to select. */
  readonly name: FileSpan;
  /** The whole statement. */
  readonly whole: FileSpan;
}

/** Where what stands at an offset is declared; for a declaration that is itself. */
export function definitionAt(analysis: Analysis, uri: string, offset: number): Destination | undefined {
  const file = fileIn(analysis, uri);
  const token = file === undefined ? undefined : tokenAt(file, offset);
  if (token === undefined) return undefined;
  const from = { start: token.base + token.span.start, end: token.base + token.span.end };
  const link = linkAt(analysis, token);
  if (link !== undefined) {
    const top = { uri: link.target, start: 0, end: 0 };
    return { from, name: top, whole: top };
  }
  const place = declaredPlace(analysis, token);
  return place === undefined ? undefined : { from, ...place };
}

function declaredPlace(analysis: Analysis, token: Token): Pick<Destination, 'name' | 'whole'> | undefined {
  const origin = declarationOf(analysis, token) ?? originOfStep(analysis, token);
  const name = origin === undefined ? undefined : spanOf(analysis, origin);
  if (origin === undefined || name === undefined) return undefined;
  const thing = namesOf(analysis).declaredAt(origin);
  return { name, whole: (thing === undefined ? undefined : wholeOf(analysis, thing)) ?? name };
}

function wholeOf(analysis: Analysis, thing: Thing): FileSpan | undefined {
  if (thing.kind === 'output') return undefined;
  return spanOf(analysis, thing.kind === 'element' ? thing.line : thing.whole);
}

/** `box.1` leads to the controller, `eaves[116]` to the line of pixel 116. */
function originOfStep(analysis: Analysis, token: Token) {
  if (token.step === undefined || token.item.kind !== 'word') return undefined;
  for (const feed of analysis.plan.feeds.values()) {
    for (const piece of feed.pieces) {
      if (piece.kind !== 'tap' || piece.tap.origin.declaration !== token.declaration) continue;
      if (piece.tap.origin.start <= token.span.start && piece.tap.origin.end >= token.span.end)
        return piece.tap.piece.origin;
    }
  }
  return analysis.plan.controllers.get(token.item.text)?.origin;
}

/** Where the part or prop is declared that a thing is made of: from a supply to its part, from a string to its pixel. */
export function typeDefinitionAt(analysis: Analysis, uri: string, offset: number): Destination | undefined {
  const file = fileIn(analysis, uri);
  const token = file === undefined ? undefined : tokenAt(file, offset);
  const thing = token === undefined ? undefined : thingAt(analysis, token);
  const type = thing === undefined ? undefined : typeOf(analysis, thing);
  const name = type === undefined ? undefined : spanOf(analysis, type.origin);
  if (token === undefined || type === undefined || name === undefined) return undefined;
  return {
    from: { start: token.base + token.span.start, end: token.base + token.span.end },
    name,
    whole: spanOf(analysis, type.whole) ?? name,
  };
}

function typeOf(analysis: Analysis, thing: Thing) {
  switch (thing.kind) {
    case 'supply':
    case 'controller':
      return thing.part;
    case 'output':
      return thing.output.board?.cable ?? thing.output.supply.part;
    case 'run':
      return thing.pieces.find((piece) => piece.kind === 'string')?.part;
    case 'board':
    case 'bond':
      return thing.cable;
    case 'feed':
      return thing.pieces.find((piece) => piece.kind === 'cable')?.cable;
    case 'element':
      return thing.keyword === 'copies'
        ? analysis.plan.props.get(thing.madeOf ?? '')
        : (thing.keyword === 'panels' ? analysis.plan.panels : analysis.plan.pixels).get(thing.madeOf ?? '');
    default:
      return undefined;
  }
}
