import type { StringPiece } from '../model/plan.ts';
import { statedCables } from '../model/stated-cables.ts';
import { count as counted } from '../model/texts.ts';
import type { CheckContext, Needs } from './check.ts';

/** What checks look at, counted: so that a person sees which of them had nothing to go on, and why. */
type Counter = (ctx: CheckContext) => Needs;

function needs(count: number, what: string, why: string | undefined): Needs {
  return why === undefined ? { count, what } : { count, what, why };
}

/** Things of a kind; without any the check has nothing to look at. */
function of(count: number, what: string, why = `the plan has no ${what} yet`): Needs {
  return needs(count, what, count === 0 ? why : undefined);
}

export const runs: Counter = ({ plan }) => of(plan.runs.size, 'run');

/** Runs whose volts and amps are known. */
export const solvedRuns: Counter = ({ plan, account }) => {
  const left = plan.runs.size - account.runs.size;
  if (plan.runs.size === 0) return of(0, 'run');
  return needs(account.runs.size, 'run', left === 0 ? undefined : `no solution for ${counted(left, 'run')}`);
};

export const strings: Counter = (ctx) => {
  const { why } = solvedRuns(ctx);
  let sum = 0;
  for (const run of ctx.account.runs.values()) sum += run.strings.length;
  return needs(sum, 'string', why);
};

/** Frame times need a frame rate; where none is stated a customary one is taken, and that is said. */
export const framedRuns: Counter = ({ plan }) => {
  const { frameRate } = plan.design;
  const stated = frameRate.origin !== undefined;
  if (plan.runs.size === 0) return of(0, 'run');
  return needs(plan.runs.size, 'run', stated ? undefined : `no frame rate is stated: ${frameRate.value} fps is taken`);
};

export const leads: Counter = ({ plan }) => {
  let sum = 0;
  for (const run of plan.runs.values()) sum += run.pieces.filter((piece) => piece.kind === 'lead').length;
  return of(sum, 'lead');
};

/** Cables whose length is written beside their way. */
export const statedWays: Counter = ({ plan }) =>
  of(statedCables(plan).length, 'cable', 'no cable states both a length and a way: others take theirs from the routes');

/** What data goes through on its way to the pixels: leads, gaps with a cable of their own, links. */
export const dataCables: Counter = ({ plan }) => {
  let sum = 0;
  for (const { pieces } of plan.runs.values())
    for (const piece of pieces) if (piece.kind === 'lead' || (piece.kind === 'gap' && piece.cable !== undefined)) sum++;
  for (const { link } of plan.controllers.values()) if (link !== undefined) sum++;
  return of(sum, 'cable', 'the plan has no lead, no gap with a cable, and no link yet');
};

/** Runs, and boards that a supply feeds. */
export const loads: Counter = ({ plan }) => {
  const boards = [...plan.controllers.values()].filter(({ from }) => from !== undefined);
  return of(plan.runs.size + boards.length, 'load', 'the plan has no run and no fed board yet');
};

/** Ports that runs and links start at. */
export const takenPorts: Counter = ({ plan }) => {
  const links = [...plan.controllers.values()].filter(({ link }) => link !== undefined);
  return of(plan.runs.size + links.length, 'taken port', 'the plan has no run yet');
};

export const fusedPorts: Counter = ({ plan, account }) => {
  const fused = [...account.runs.keys()].filter((run) => run.controller?.part?.portFuse !== undefined);
  const why = plan.runs.size === 0 ? 'the plan has no run yet' : 'no controller part states a port-fuse';
  return of(fused.length, 'port', why);
};

export const fusedOutputs: Counter = ({ account }) => {
  const fused = [...account.outputs.keys()].filter((output) => output.fuse !== undefined);
  return of(fused.length, 'output', 'no output states a fuse, or none is solved');
};

export const fuses: Counter = (ctx) =>
  of(fusedOutputs(ctx).count + fusedPorts(ctx).count, 'fuse', 'no output and no port states a fuse, or none is solved');

export const startedAtOutputs: Counter = ({ plan }) => {
  const boards = [...plan.controllers.values()].filter((controller) => controller.from !== undefined);
  const sum = plan.feeds.size + plan.boards.size + boards.length;
  return of(sum, 'feed', 'no feed, no board and no controller starts at an output');
};

export const ratedSupplies: Counter = ({ plan, account }) => {
  const rated = [...account.supplies.keys()].filter((supply) => supply.part?.rated !== undefined);
  return of(rated.length, 'supply', plan.supplies.size === 0 ? undefined : 'no supply with a rating is solved');
};

export const setSupplies: Counter = ({ plan }) => {
  const set = [...plan.supplies.values()].filter((supply) => supply.volts?.origin !== undefined);
  return of(set.length, 'supply', 'no supply states what it is set to');
};

/** Supplies can only meet where there are two. */
export const severalSupplies: Counter = ({ plan }) =>
  plan.supplies.size < 2 ? needs(0, 'supply', 'there are not two supplies') : of(plan.supplies.size, 'supply');

export const connectors: Counter = ({ plan, account }) => {
  let sum = 0;
  for (const run of account.runs.values())
    sum += run.strings.filter(({ piece }) => (piece satisfies StringPiece).part.ends !== undefined).length;
  for (const feed of plan.feeds.values())
    sum += feed.pieces.filter((piece) => piece.kind === 'tap' && piece.connector !== undefined).length;
  return of(sum, 'connector', 'no string or tap names a connector, or none is solved');
};

export const cables: Counter = ({ account }) => {
  let sum = account.boards.size;
  for (const run of account.runs.values())
    for (const piece of run.cables.keys()) if ('cable' in piece && piece.cable !== undefined) sum++;
  for (const feed of account.feeds.keys()) sum += feed.pieces.filter((piece) => piece.kind === 'cable').length;
  return of(sum, 'cable', 'no lead, gap, feed or board has a cable of its own, or none is solved');
};

export const loadedCircuits: Counter = ({ plan }) => {
  const loaded = new Set([...plan.supplies.values()].flatMap(({ circuit }) => circuit ?? []));
  return of(loaded.size, 'circuit', plan.circuits.size === 0 ? undefined : 'no supply is said to be on a circuit');
};

export const limitedRoutes: Counter = ({ plan }) => {
  const limited = plan.routes.filter((route) => route.most !== undefined);
  return of(limited.length, 'route', plan.routes.length === 0 ? undefined : 'no route states a limit');
};

export const countedRoutes: Counter = ({ plan }) => {
  const counted = plan.routes.filter((route) => route.before !== undefined);
  return of(counted.length, 'route', plan.routes.length === 0 ? undefined : 'no route states its cables of last year');
};

export const readings: Counter = ({ plan, account }) => {
  const left = plan.measurements.length - account.measured.length;
  if (plan.measurements.length === 0) return needs(0, 'reading', 'the plan has no measured line');
  return needs(
    account.measured.length,
    'reading',
    left === 0 ? undefined : `no solution for ${counted(left, 'reading')}`,
  );
};

export const expectations: Counter = ({ claims }) =>
  of(claims.expectations.length, 'expectation', 'the plan has no expect line');

export const acceptances: Counter = ({ claims }) =>
  of(claims.acceptances.length, 'accept line', 'the plan has no accept line');

export const islands: Counter = ({ account }) => of(account.islands.length, 'circuit', 'nothing is wired yet');
