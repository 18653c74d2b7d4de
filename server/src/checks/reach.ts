import type { CablePart, Conductor, Feed, Output, Plan, Run, StringPiece, Supply } from '../model/plan.ts';

/** What can be reached for injection: joints where a hand fits, supplies that may feed, cables at hand. */

export type WiredCable = CablePart & { readonly conductor: Conductor };

export interface Joint {
  readonly pixel: number;
  readonly text: string;
}

/** Where a hand can reach: the ends of strings that meet something else, and the end of the run. */
export function jointsOf(run: Run): Joint[] {
  const joints: Joint[] = [];
  for (const [index, piece] of run.pieces.entries()) {
    if (piece.kind !== 'string') continue;
    const before = run.pieces[index - 1];
    const inside = before?.kind === 'gap' && before.bare;
    const name = nameOf(run, piece);
    if (name !== undefined && !(inside && piece.line.strands === 1)) joints.push({ pixel: piece.first, text: name });
  }
  if (run.pixelCount > 0) joints.push({ pixel: run.pixelCount, text: `${run.name}.end` });
  return joints;
}

/** How a plan would call the joint before a string, if it has a name. */
function nameOf(run: Run, piece: StringPiece): string | undefined {
  if (piece.copies !== undefined)
    return piece.strand === 1 ? `${run.name}.${piece.copies.name}(${piece.copies.number})` : undefined;
  if (piece.element === undefined) return undefined;
  return piece.line.strands > 1 ? `${run.name}.${piece.element}(${piece.strand})` : `${run.name}.${piece.element}`;
}

/** Metres along the run from its first joint to a pixel. */
export function distanceTo(run: Run, pixel: number): number {
  let sum = 0;
  for (const piece of run.pieces) {
    if (piece.kind === 'gap') sum += piece.length;
    if (piece.kind !== 'string') continue;
    const inside = Math.min(piece.count, pixel - piece.first + 1);
    sum += inside * piece.pitch;
    if (inside < piece.count) break;
    if (pixel <= piece.first + piece.count - 1) break;
  }
  return sum;
}

/** Supplies that may feed the run: those that already do, or where none does, all whose voltage its pixels accept. */
export function suppliesFor(plan: Plan, run: Run): Supply[] {
  const feeding = new Set<Supply>();
  if (run.controller?.from !== undefined && run.controller.part?.portFuse !== undefined && leadCarriesPower(run))
    feeding.add(run.controller.from.supply);
  for (const feed of plan.feeds.values()) if (feed.from !== undefined && taps(feed, run)) feeding.add(feed.from.supply);
  if (feeding.size > 0) return [...feeding];
  const part = run.pieces.find((piece): piece is StringPiece => piece.kind === 'string')?.part;
  return [...plan.supplies.values()].filter((supply) => {
    const set = supply.volts?.value;
    return set !== undefined && part !== undefined && set <= (part.accepts?.value.to ?? set) && set >= part.volts * 0.8;
  });
}

function leadCarriesPower(run: Run): boolean {
  return run.pieces.every((piece) => piece.kind !== 'lead' || piece.cable.cores.has('V+'));
}

/** What one pixel draws at full white and nominal voltage, A: a run that sags draws less, but not once it is mended. */
export function fullAmps(part: StringPiece['part']): number {
  const converter = part.converter === undefined ? 0 : part.converter.watts / part.volts;
  return part.idleAmps + converter + part.channels.reduce((sum, channel) => sum + channel.amps, 0);
}

/** Cables with V+ and ground and nothing else, thin to thick. */
export function cablesFor(plan: Plan): WiredCable[] {
  return [...plan.cables.values()]
    .filter(
      (cable): cable is WiredCable =>
        cable.conductor !== undefined && cable.cores.has('V+') && cable.cores.has('ground') && !cable.cores.has('data'),
    )
    .sort((a, b) => b.conductor.ohmsPerMetre - a.conductor.ohmsPerMetre);
}

export function usedOutputs(plan: Plan): Output[] {
  const used: Output[] = [];
  for (const feed of plan.feeds.values()) if (feed.from !== undefined) used.push(feed.from);
  for (const controller of plan.controllers.values()) if (controller.from !== undefined) used.push(controller.from);
  return used;
}

function taps(feed: Feed, run: Run): boolean {
  return feed.pieces.some((piece) => piece.kind === 'tap' && piece.tap.run === run);
}

export function lastFeedOf(plan: Plan, run: Run): Feed | undefined {
  return [...plan.feeds.values()].findLast((feed) => taps(feed, run) && feed.whole.uri === run.whole.uri);
}

export function freeName(run: string, taken: Set<string>): string {
  for (let number = 1; ; number++) {
    const name = `${run}-feed-${number}`;
    if (taken.has(name)) continue;
    taken.add(name);
    return name;
  }
}
