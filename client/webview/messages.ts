/** What the drawing panel and the extension say to each other. */

export interface Place {
  readonly uri: string;
  readonly range: { readonly start: Spot; readonly end: Spot };
}

interface Spot {
  readonly line: number;
  readonly character: number;
}

export type View = 'wiring' | 'run' | 'site' | 'review';
export const VIEWS: readonly View[] = ['wiring', 'run', 'site', 'review'];

export type Look = 'ink' | 'faint' | 'power' | 'data' | 'string' | 'box' | 'limit' | 'low' | 'over' | 'other';

export type Shape =
  | {
      readonly kind: 'line';
      readonly x1: number;
      readonly y1: number;
      readonly x2: number;
      readonly y2: number;
      readonly look: Look;
    }
  | {
      readonly kind: 'bar';
      readonly x: number;
      readonly y: number;
      readonly width: number;
      readonly height: number;
      readonly look: Look;
    }
  | {
      readonly kind: 'path';
      readonly points: readonly (readonly [number, number])[];
      readonly closed?: boolean;
      readonly look: Look;
    }
  | {
      readonly kind: 'label';
      readonly x: number;
      readonly y: number;
      readonly text: string;
      readonly anchor?: 'start' | 'middle' | 'end';
      readonly strong?: boolean;
      readonly look: Look;
    }
  | Group;

export interface Group {
  readonly kind: 'group';
  readonly says: string;
  readonly place?: Place;
  readonly shapes: readonly Shape[];
}

export interface Drawing {
  readonly title: string;
  readonly width: number;
  readonly height: number;
  readonly shapes: readonly Shape[];
  readonly runs: readonly string[];
  readonly run?: string;
}

/** Tables to read, as papers have them. */
export interface Sheet {
  readonly title: string;
  readonly intro: string;
  readonly tables: readonly {
    readonly title?: string;
    readonly columns: readonly { readonly title: string }[];
    readonly rows: readonly (readonly Cell[])[];
  }[];
}

export type Cell = string | { readonly text: string } | null | undefined;

/** To the panel. */
export type ToPanel =
  | { readonly type: 'drawing'; readonly view: View; readonly drawing: Drawing | null }
  | { readonly type: 'sheet'; readonly view: View; readonly sheet: Sheet }
  | { readonly type: 'view'; readonly view: View }
  | { readonly type: 'cursor'; readonly uri: string; readonly line: number };

/** From the panel. */
export type FromPanel =
  | { readonly type: 'show'; readonly view: View; readonly run?: string; readonly width: number }
  | { readonly type: 'reveal'; readonly place: Place };
