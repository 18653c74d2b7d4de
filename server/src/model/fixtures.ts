import type { PanelFacts } from './panel-facts.ts';
import type { PixelPart, Run, StringPiece } from './plan.ts';
import { count } from './texts.ts';

/**
 * Panels and floods: loads that stand alone behind a cord of their own. In a run each is a string of one "pixel" whose
 * first pitch is the cord, so that taps, accounts, faults and checks read it as they read any other load.
 */

export function isFixture(part: PixelPart): boolean {
  return part.kind !== 'pixel';
}

/** The pieces of a run that are panels, in data order. */
export function panelsOf(run: Run): (StringPiece & { readonly part: { readonly panel: PanelFacts } })[] {
  return run.pieces.filter(
    (piece): piece is StringPiece & { readonly part: StringPiece['part'] & { readonly panel: PanelFacts } } =>
      piece.kind === 'string' && piece.part.panel !== undefined,
  );
}

export function isFloods(run: Run): boolean {
  return run.pieces.length > 0 && run.pieces.every((piece) => piece.kind === 'string' && piece.part.kind === 'flood');
}

export function isFixtures(run: Run): boolean {
  return unitOfRun(run) !== 'pixel';
}

/** What the controller sends data for: the pixels of strings and panels; floods have none. */
export function addressedPixels(run: Run): number {
  if (run.pieces.every((piece) => piece.kind !== 'string' || piece.part.kind === 'pixel')) return run.pixelCount;
  let sum = 0;
  for (const piece of run.pieces) {
    if (piece.kind !== 'string' || piece.part.kind === 'flood') continue;
    const { panel } = piece.part;
    sum += piece.count * (panel === undefined ? 1 : panel.rows * panel.columns);
  }
  return sum;
}

/** The number of a panel's first pixel among all pixels of its chain; of a string's pixel, its own number. */
export function firstPixelOf(run: Run, number: number): number {
  if (unitOfRun(run) !== 'panel') return number;
  const before = panelsOf(run).slice(0, number - 1);
  return before.reduce((sum, { part }) => sum + part.panel.rows * part.panel.columns, 1);
}

/** What the numbers of a run count: "pixel", "panel" or "flood". */
export function unitOf(part: PixelPart): 'pixel' | 'panel' | 'flood' {
  return part.kind;
}

/** What the numbers of a run count; its first load says so. */
export function unitOfRun(run: Run): 'pixel' | 'panel' | 'flood' {
  const first = run.pieces.find((piece): piece is StringPiece => piece.kind === 'string');
  return first === undefined ? 'pixel' : unitOf(first.part);
}

/** How a tap names a panel or flood by its number: `sign.front(3)`, `wash(2)`. */
export function tapTextOf(run: Run, piece: StringPiece): string {
  const isOnly = run.pieces.every((other) => other.kind !== 'string' || other.line === piece.line);
  if (piece.element !== undefined) return `${run.name}.${piece.element}(${piece.strand})`;
  return isOnly ? `${run.name}(${piece.strand})` : `${run.name}[${piece.first}]`;
}

/** How big a run is: "150 pixels", "8 panels, 16,384 pixels", "4 floods". */
export function sizeText(run: Run): string {
  const unit = unitOfRun(run);
  const own = count(run.pixelCount, unit);
  return unit === 'panel' ? `${own}, ${count(addressedPixels(run), 'pixel')}` : own;
}

export interface Refresh {
  /** s for the whole picture once, all bit planes. */
  readonly seconds: number;
  /** Clocks to shift one line of the whole chain. */
  readonly clocks: number;
  /** How many times a line is shifted, or waited for as long as a shift takes, to show all planes. */
  readonly slots: number;
  /** The share of the time in which the lines are lit. */
  readonly light: number;
}

/**
 * Time that a chain of panels takes to show one picture in binary-coded modulation. Two halves of a panel are shifted
 * beside each other, so a line of the chain takes columns * rows / (2 * turns) clocks for each panel. The next plane is
 * shifted while one is lit. With s shortened planes the lightest s take one shift each, the others 1, 2, 4 … shifts:
 * s + 2^(bits - s) - 1 shifts in all for each turn. The chain runs at the pace of its slowest panel.
 */
export function refreshOf(panels: readonly PanelFacts[]): Refresh | undefined {
  if (panels.length === 0) return undefined;
  // A chain may have more panels than a call can have arguments, but they are of few types.
  const types = [...new Set(panels)];
  const worst = (of: (panel: PanelFacts) => number) => Math.max(...types.map(of));
  const slots = worst(slotsOf);
  const turns = worst((panel) => panel.turns);
  const period = worst((panel) => 1 / panel.rate);
  let clocks = 0;
  for (const panel of panels) clocks += (panel.columns * panel.rows) / (2 * panel.turns);
  const light = Math.min(...types.map((panel) => (2 ** panel.bits - 1) / 2 ** panel.shortened / slotsOf(panel)));
  return { seconds: turns * slots * clocks * period, clocks, slots, light };
}

function slotsOf({ bits, shortened }: PanelFacts): number {
  return shortened + 2 ** (bits - shortened) - 1;
}
