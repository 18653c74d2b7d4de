import type { Step } from '#grammar/ast.ts';
import type { Dimension } from '#grammar/units.ts';
import type { Entry, Value } from '#grammar/words/entry.ts';
import type { Origin } from './finding.ts';

/** What a statement says once its words are matched to the vocabulary; typed by the entry that it was matched to. */

/** A value as given in the text; quantities are in SI units. */
export interface Given<T> {
  readonly value: T;
  readonly origin: Origin;
  /** As written. */
  readonly text: string;
}

export interface Measure {
  readonly si: number;
  readonly dimension: Dimension;
}

export interface Range {
  readonly from: number;
  readonly to: number;
}

export interface Reference {
  readonly name: string;
  readonly steps: readonly Step[];
  /** Where the name ends and its steps begin. */
  readonly nameEnd: number;
}

export interface PathValue {
  readonly places: readonly { readonly name: string; readonly origin: Origin }[];
}

type ValueOf<V extends Value> = V extends { type: 'quantity' }
  ? Measure
  : V extends { type: 'whole' }
    ? number
    : V extends { type: 'range' }
      ? Range
      : V extends { type: 'reference' }
        ? Reference
        : V extends { type: 'path' }
          ? PathValue
          : V extends { type: 'choice'; of: readonly (infer C)[] }
            ? C
            : V extends { type: 'choices'; of: readonly (infer C)[] }
              ? readonly C[]
              : V extends { type: 'flag' }
                ? true
                : string;

export type Fields<E extends Entry> = {
  readonly [P in E['phrases'][number] as P['key']]?: Given<ValueOf<P['value']>>;
};

export interface Bound<E extends Entry> {
  readonly entry: E;
  readonly word: E['word'];
  /** The keyword as it stands in the text. */
  readonly keyword: Origin;
  readonly name: { readonly text: string; readonly origin: Origin } | undefined;
  readonly fields: Fields<E>;
  /** Keys of all phrases that stand on the line: also of those that could not be read, which have been reported. */
  readonly said: ReadonlySet<string>;
  /** The statement without its block. */
  readonly line: Origin;
  readonly whole: Origin;
  readonly description: string | undefined;
  readonly block: E['block'] extends readonly Entry[] ? readonly BoundLine<E['block'][number]>[] : readonly never[];
}

/** One of several kinds of lines, told apart by `word`. */
export type BoundLine<E extends Entry> = E extends Entry ? Bound<E> : never;
