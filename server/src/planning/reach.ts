import { sure } from '#grammar/sure.ts';
import { exceeds } from '../checks/limits.ts';
import { cablesOn } from '../checks/route-crowded.ts';
import { compileLoadCurve, curveAmps } from '../electrics/solve/load-curve.ts';
import { brightnessOf, loadModel } from '../model/pixel-loads.ts';
import type { Board, CablePart, Conductor, Feed, Plan, Route, Run, Supply } from '../model/plan.ts';

/** What is at hand for injection: supplies and boards that may feed a run, cables, and what passes a route already. */

export type WiredCable = CablePart & { readonly conductor: Conductor };

/** Supplies that may feed the run: those that already do first, then all whose voltage its pixels accept. */
export function suppliesFor(plan: Plan, run: Run): Supply[] {
  const feeding = new Set<Supply>();
  if (run.controller?.from !== undefined && run.controller.part?.portFuse !== undefined && leadCarriesPower(run))
    feeding.add(run.controller.from.supply);
  for (const feed of plan.feeds.values()) if (feed.from !== undefined && taps(feed, run)) feeding.add(feed.from.supply);
  for (const supply of plan.supplies.values())
    if (supply.volts !== undefined && takes(run, supply.volts.value)) feeding.add(supply);
  return [...feeding];
}

/** Whether all pixels of a run are made for a voltage, V. */
export function takes(run: Run, volts: number): boolean {
  const parts = run.pieces.flatMap((piece) => (piece.kind === 'string' ? [piece.part] : []));
  return (
    parts.length > 0 &&
    parts.every((part) => !exceeds(volts, sure(part.accepts).value.to) && !exceeds(part.volts * 0.8, volts))
  );
}

function leadCarriesPower(run: Run): boolean {
  return run.pieces.every((piece) => piece.kind !== 'lead' || piece.cable.cores.has('V+'));
}

/** What the strings of a run draw at the design look and nominal voltage, A: sagging it draws less, but not once it is mended. */
export function fullAmps({ design }: Plan, run: Run): number {
  return run.pieces.reduce((sum, piece) => {
    if (piece.kind !== 'string') return sum;
    const curve = compileLoadCurve(loadModel(piece.part, design.look.value), brightnessOf(piece, design));
    return sum + piece.count * curveAmps(curve, piece.part.volts);
  }, 0);
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

/** Supplies that may feed the run and the fused boards that hang on them: whatever has outputs. */
export function ownersFor(plan: Plan, run: Run): (Supply | Board)[] {
  return suppliesFor(plan, run).flatMap((supply) => [
    supply,
    ...[...plan.boards.values()].filter((board) => board.from.supply === supply && board.outputs.size > 0),
  ]);
}

export function supplyOf(owner: Supply | Board): Supply {
  return owner.kind === 'board' ? owner.from.supply : owner;
}

/** Cables through a route as the plan stands. */
export function passing(plan: Plan, route: Route): number {
  return cablesOn(plan, route).reduce((sum, { count }) => sum + count, 0);
}

export function taps(feed: Feed, run: Run): boolean {
  return feed.pieces.some((piece) => piece.kind === 'tap' && piece.tap.run === run);
}
