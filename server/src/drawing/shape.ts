import type { Origin } from '../model/finding.ts';

/**
 * A drawing as data: a tree of few kinds of shapes. It becomes SVG text for paper, and elements that can be walked
 * through by keyboard in the editor. Colours are given by class, so that a theme or a printer may choose them.
 */
export type Shape = Line | Bar | Path | Label | Group;

interface Styled {
  /** What it is drawn as; paper and panel choose the colours. */
  readonly look: Look;
}

export type Look = 'ink' | 'faint' | 'power' | 'data' | 'string' | 'box' | 'limit' | 'low' | 'over' | 'other';

export interface Line extends Styled {
  readonly kind: 'line';
  readonly x1: number;
  readonly y1: number;
  readonly x2: number;
  readonly y2: number;
}

export interface Bar extends Styled {
  readonly kind: 'bar';
  readonly x: number;
  readonly y: number;
  readonly width: number;
  readonly height: number;
}

/** Straight lines through points, closed or open. */
export interface Path extends Styled {
  readonly kind: 'path';
  readonly points: readonly (readonly [number, number])[];
  readonly closed?: boolean;
}

export interface Label extends Styled {
  readonly kind: 'label';
  readonly x: number;
  readonly y: number;
  readonly text: string;
  readonly anchor?: 'start' | 'middle' | 'end';
  readonly strong?: boolean;
}

/** Shapes that stand for one thing of the plan: said aloud as `says`, and found in the text at `origin`. */
export interface Group {
  readonly kind: 'group';
  readonly says: string;
  readonly origin: Origin | undefined;
  readonly shapes: readonly Shape[];
}

export interface Drawing {
  readonly title: string;
  readonly width: number;
  readonly height: number;
  readonly shapes: readonly Shape[];
}

export const line = (x1: number, y1: number, x2: number, y2: number, look: Look): Line => ({
  kind: 'line',
  x1,
  y1,
  x2,
  y2,
  look,
});
export const bar = (x: number, y: number, width: number, height: number, look: Look): Bar => ({
  kind: 'bar',
  x,
  y,
  width,
  height,
  look,
});
export const label = (
  x: number,
  y: number,
  text: string,
  look: Look = 'ink',
  anchor: Label['anchor'] = 'start',
): Label => ({
  kind: 'label',
  x,
  y,
  text,
  look,
  anchor,
});
export const group = (says: string, origin: Origin | undefined, ...shapes: readonly Shape[]): Group => ({
  kind: 'group',
  says,
  origin,
  shapes,
});

/** Places that a text takes at the size of labels: a little more than most sans-serif faces need. */
export function widthOf(text: string): number {
  let width = 0;
  for (const sign of text) width += NARROW.has(sign) ? 3.6 : sign >= '\u1100' ? 12 : 6.7;
  return width;
}

const NARROW: ReadonlySet<string> = new Set("iljtfI.,:;'|()[] ");

/** A text that fits, cut with an ellipsis where it does not; empty where not even that fits. */
export function fitted(text: string, width: number): string {
  if (widthOf(text) <= width) return text;
  let kept = '';
  for (const sign of text) {
    if (widthOf(`${kept}${sign}…`) > width) break;
    kept += sign;
  }
  return kept === '' ? '' : `${kept.trimEnd()}…`;
}
