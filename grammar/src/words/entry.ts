/** The shapes that the vocabulary is written in, and the values that many words share. */

import type { Dimension } from '../units.ts';

/** What a value after a phrase's word may be. Limits are in SI units and mark what cannot be real. */
export type Value =
  | { readonly type: 'quantity'; readonly of: readonly Dimension[]; readonly least?: number; readonly most?: number }
  | {
      readonly type: 'whole';
      readonly least: number;
      readonly most: number;
      /** A plain number need not be whole. */
      readonly fractions?: true;
    }
  | { readonly type: 'range'; readonly of: Dimension; readonly least?: number; readonly most?: number }
  | { readonly type: 'reference'; readonly to: readonly Kind[] }
  | { readonly type: 'path' }
  | { readonly type: 'choice'; readonly of: readonly string[] }
  | { readonly type: 'choices'; readonly of: readonly string[] }
  | { readonly type: 'flag' }
  | { readonly type: 'date' }
  | { readonly type: 'text' }
  /** The code of a check; which there are stands in the registry of checks. */
  | { readonly type: 'code' }
  /** A word or a sign, as the person writes it. */
  | { readonly type: 'currency' };

/** What a name can stand for. */
export type Kind =
  | 'place'
  | 'pixel'
  | 'panel'
  | 'flood'
  | 'cable'
  | 'connector'
  | 'supply-part'
  | 'controller-part'
  | 'receiver-part'
  | 'circuit'
  | 'supply'
  | 'output'
  | 'board'
  | 'controller'
  | 'port'
  | 'prop'
  | 'run'
  | 'tap'
  | 'feed'
  | 'bond';

export interface Phrase {
  /** The field that the value becomes. */
  readonly key: string;
  /** The word that leads the phrase; without one the value is known by its own kind. */
  readonly word?: string;
  readonly value: Value;
  readonly required?: boolean;
  /** Belongs to what stands before it: the formatter keeps it close. */
  readonly tight?: boolean;
  readonly help: string;
  /** What holds when the phrase is absent, as it would be written, and why. */
  readonly standard?: Standard;
}

export interface Standard {
  readonly text: string;
  readonly source: string;
}

export interface Entry {
  /** The keyword, or for parts the two words. */
  readonly word: string;
  readonly name: 'required' | 'optional' | 'none';
  readonly help: string;
  readonly phrases: readonly Phrase[];
  readonly block?: readonly Entry[];
  /** At least these lines must stand in the block. */
  readonly needs?: readonly string[];
  /** Lines that may stand only once in the block are all but these. */
  readonly repeats?: readonly string[];
  readonly example: string;
}

/** Keeps the literal types of an entry, so that its fields are typed where they are read. */
export function entry<const E extends Entry>(value: E): E {
  return value;
}

export const quantity = <const D extends readonly Dimension[]>(of: D, least?: number, most?: number) => ({
  type: 'quantity' as const,
  of,
  ...(least === undefined ? {} : { least }),
  ...(most === undefined ? {} : { most }),
});
export const length = quantity(['length'], 0.0001, 2000);
export const volts = quantity(['voltage'], 0.1, 60);
export const amps = quantity(['current'], 1e-6, 500);
export const conductor = quantity(['gauge', 'area']);
export const pixels = quantity(['pixels'], 1, 1_000_000);
export const to = <const K extends readonly Kind[]>(...kinds: K) => ({ type: 'reference' as const, to: kinds });
export const flag = { type: 'flag' as const };
export const text = { type: 'text' as const };
export const date = { type: 'date' as const };
export const path = { type: 'path' as const };
