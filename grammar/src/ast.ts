/**
 * The tree of a plan's text. It is generic: a statement is a row of items and perhaps a block of further
 * statements. What the words mean stands in the vocabulary, not here.
 *
 * Offsets are UTF-16 code units, counted from the start of the declaration that the node stands in
 * (see source.ts), so that a declaration's tree stays valid while text elsewhere changes.
 */

export interface Span {
  readonly start: number;
  readonly end: number;
}

/** A word, perhaps with steps behind it: `gutter`, `psu-a.2`, `eaves[116]`, `sail.canvas(5).end`. */
export interface Word {
  readonly kind: 'word';
  readonly text: string;
  /** Of the first word alone, without its steps. */
  readonly nameSpan: Span;
  readonly steps: readonly Step[];
  readonly span: Span;
}

export type Step =
  | { readonly kind: 'member'; readonly name: string; readonly span: Span }
  /** `number` is not a number where none is written. */
  | { readonly kind: 'pixel'; readonly number: number; readonly span: Span }
  | { readonly kind: 'copy'; readonly number: number; readonly span: Span };

/** A number with its unit, as written; `8 ft 4 in` has two terms. A bare number has one term without a unit. */
export interface Quantity {
  readonly kind: 'quantity';
  readonly terms: readonly Term[];
  readonly span: Span;
}

export interface Term {
  readonly value: number;
  readonly unit: string | undefined;
  readonly span: Span;
}

export interface Text {
  readonly kind: 'text';
  readonly value: string;
  readonly span: Span;
}

export interface DateItem {
  readonly kind: 'date';
  readonly value: string;
  readonly span: Span;
}

/** Something that no item can start with; already reported by the parser. */
export interface Stray {
  readonly kind: 'stray';
  readonly text: string;
  readonly span: Span;
}

export type Item = Word | Quantity | Text | DateItem | Stray;

export interface Statement {
  readonly items: readonly Item[];
  readonly block: Block | undefined;
  /** The text of the `##` lines directly above, joined by newlines. */
  readonly description: string | undefined;
  /** From the first item to the end of the last item or of the closing brace. */
  readonly span: Span;
}

export interface Block {
  readonly statements: readonly Statement[];
  readonly span: Span;
  readonly closed: boolean;
}

/** A syntax problem as data; texts are made from it in one place (the server's syntax checks). */
export interface SyntaxProblem {
  readonly code: SyntaxCode;
  readonly span: Span;
  readonly text: string;
}

export type SyntaxCode =
  | 'stray-text'
  | 'unclosed-text'
  | 'unclosed-block'
  | 'unclosed-bracket'
  | 'stray-brace'
  | 'line-not-ended'
  | 'decimal-comma'
  | 'too-deep'
  | 'hidden-character';
