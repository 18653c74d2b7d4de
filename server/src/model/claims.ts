import type { Origin } from './finding.ts';
import type { Circuit, Design, Feed, Place, Route, Run, StringPiece, Supply } from './plan.ts';

/** What a plan says of itself: what it expects to hold, and what of the findings it accepts. */

export interface Claims {
  readonly expectations: readonly Expectation[];
  readonly acceptances: readonly Acceptance[];
}

export const NO_CLAIMS: Claims = { expectations: [], acceptances: [] };

export interface Expectation {
  readonly subject: Expected;
  readonly side: 'least' | 'most';
  readonly limit: number;
  readonly quantity: 'voltage' | 'current' | 'power' | 'cables';
  readonly look: Design['look']['value'];
  readonly brightness: number;
  /** As written, without its keyword: "eaves at least 11 V". */
  readonly text: string;
  /** The line, and the number that a person would change. */
  readonly origin: Origin;
  readonly limitOrigin: Origin;
}

/** What an expectation is about. */
export type Expected =
  /** Every pixel of some strings of a run; `whole` where that is all of it. */
  | { readonly kind: 'pixels'; readonly run: Run; readonly pieces: readonly StringPiece[]; readonly whole: boolean }
  /** Pixel n of a string; 0 is the joint before its first. */
  | { readonly kind: 'joint'; readonly run: Run; readonly piece: StringPiece; readonly pixel: number }
  | { readonly kind: 'feed'; readonly feed: Feed }
  | { readonly kind: 'supply'; readonly supply: Supply }
  | { readonly kind: 'circuit'; readonly circuit: Circuit }
  | { readonly kind: 'route'; readonly route: Route };

export interface Acceptance {
  readonly code: string;
  readonly codeOrigin: Origin;
  /** What the finding must be found on; undefined: anything. */
  readonly on: AcceptedOn | undefined;
  readonly reason: string;
  /** The line. */
  readonly origin: Origin;
}

export type AcceptedOn =
  /** Everything of that name: its own statement, and what is said of it elsewhere. */
  | { readonly kind: 'thing'; readonly name: string; readonly statements: readonly Origin[] }
  /** Named lines of a run: found right on one of them. */
  | { readonly kind: 'lines'; readonly names: readonly Origin[] }
  | { readonly kind: 'route'; readonly from: Place; readonly to: Place };

/** Under which an account for another look than that of the design is kept. */
export function lookKey({ look, brightness }: Pick<Expectation, 'look' | 'brightness'>): string {
  return `${look} ${brightness}`;
}

export function isOfDesign({ look, brightness }: Pick<Expectation, 'look' | 'brightness'>, design: Design): boolean {
  return look === design.look.value && brightness === design.brightness.value;
}
