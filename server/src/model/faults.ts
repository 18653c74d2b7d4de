import { sure } from '#grammar/sure.ts';
import type { Cut } from '../electrics/circuit.ts';
import { type Prepared, prepare } from '../electrics/prepare.ts';
import type { Solution, Unsolved } from '../electrics/solution.ts';
import { type Account, pixelsOf, type RunAccount, readIslands } from './account.ts';
import { boardsTo } from './links.ts';
import { isNull } from './null-pixels.ts';
import { outputsOf, usersOf } from './outputs.ts';
import type { Controller, Feed, Output, Plan, Run, StringPiece, Supply } from './plan.ts';
import type { SolvedIsland } from './solved-island.ts';

/** What happens when one thing fails: a fuse blows, a feed is pulled, a supply dies. */
export interface Fault {
  readonly what: FaultyThing;
  /** The runs that are worse off than without the fault, in the order of the plan. */
  readonly runs: readonly RunFault[];
  /** Fuses that blow after it, one after the other, since they have to carry what the lost one did. */
  readonly blown: readonly Output[];
  /** No steady state was found with the fault. */
  readonly unsolved: boolean;
}

export type FaultyThing =
  | { readonly kind: 'fuse'; readonly output: Output }
  | { readonly kind: 'port-fuse'; readonly run: Run }
  | { readonly kind: 'feed'; readonly feed: Feed }
  | { readonly kind: 'supply'; readonly supply: Supply }
  | { readonly kind: 'link'; readonly receiver: Controller };

export interface RunFault {
  readonly run: Run;
  /** Pixels that show nothing: below half a volt, or all of them where the board that drives them has lost its power. */
  readonly dark: readonly PixelRange[];
  /** Pixels below what they need for true white, but not dark. */
  readonly low: readonly PixelRange[];
  readonly leastVolts: number;
  /** The board that drives the run has lost its power, so no data comes. */
  readonly noData: boolean;
}

/** Pixel numbers along the run, both ends included. */
export interface PixelRange {
  readonly from: number;
  readonly to: number;
}

/**
 * Every single fault of a display: each fuse, each port's fuse, each feed and each supply open, one at a time, onward
 * until no more fuse carries more than its rating. Each is solved by updating the solution without the fault.
 */
export function faultsOf(account: Account): Fault[] {
  return account.islands.flatMap((solved) => {
    if (solved.outcome.status !== 'solved') return [];
    const healthy = statesOf(solved, readIslands([solved]), NO_BOARDS);
    const network = prepare(solved.circuit.circuit);
    return thingsOf(solved).map((what) => {
      const { dead, ...fault } = faultOf(solved, network, what, healthy);
      return { ...fault, runs: [...fault.runs, ...cutOff(account, solved, dead)] };
    });
  });
}

/** Does anything follow from it? */
export function matters({ runs, blown, unsolved }: Fault): boolean {
  return runs.length > 0 || blown.length > 0 || unsolved;
}

/** A fuse behind which nothing hangs is a spare one, and a supply with nothing on its outputs too. */
export function isInUse(plan: Plan, what: FaultyThing): boolean {
  if (what.kind === 'fuse') return usersOf(plan, what.output).length > 0;
  return what.kind !== 'supply' || [...what.supply.outputs.values()].some((output) => usersOf(plan, output).length > 0);
}

/** Fuses that carry more than their rating with nothing failed, with what they carry, A. */
export function blownAlready(
  account: Account,
): { readonly output: Output; readonly amps: number; readonly rated: number }[] {
  return [...account.outputs].flatMap(([output, amps]) => {
    const rated = output.fuse?.amps;
    return rated === undefined || amps <= rated * BLOWS_AT * (1 + 1e-9) ? [] : [{ output, amps, rated }];
  });
}

const NO_BOARDS: ReadonlySet<Controller> = new Set();

/** Runs elsewhere whose data come over links from boards that have lost their power or their link. */
function cutOff(account: Account, here: SolvedIsland, dead: ReadonlySet<Controller>): RunFault[] {
  if (dead.size === 0) return [];
  return [...account.runs.values()].flatMap(({ run, solved, least }): RunFault[] => {
    if (solved === here || run.pixelCount === 0 || !comesFrom(run, dead)) return [];
    return [{ run, dark: [{ from: 1, to: run.pixelCount }], low: [], leastVolts: sure(least).volts, noData: true }];
  });
}

function comesFrom(run: Run, dead: ReadonlySet<Controller>): boolean {
  return run.controller !== undefined && boardsTo(run.controller).some((board) => dead.has(board));
}

/** More rounds than this are not needed: each blows at least one fuse. */
const MOST_ROUNDS = 64;

/** A fuse is taken to blow when it has to carry more than this share of its rating for good. */
const BLOWS_AT = 1;

function faultOf(
  solved: SolvedIsland,
  network: Prepared,
  what: FaultyThing,
  healthy: ReadonlyMap<Run, RunState>,
): Fault & { readonly dead: ReadonlySet<Controller> } {
  const cut = cutOf(solved, what);
  const blown: Output[] = [];
  for (let round = 0; ; round++) {
    const outcome: Solution | Unsolved = network.solveWithout(cut);
    if (outcome.status !== 'solved') return { what, runs: [], blown, unsolved: true, dead: NO_BOARDS };
    const faulty = { island: solved.island, circuit: solved.circuit, outcome };
    const account = readIslands([faulty]);
    const next = round < MOST_ROUNDS ? overloaded(account, blown, what) : undefined;
    if (next === undefined) {
      const dead = deadBoards(faulty, what);
      const runs = affected(statesOf(faulty, account, dead), account, healthy);
      return { what, runs, blown, unsolved: false, dead };
    }
    blown.push(next);
    cut.resistors.push(...fuseOf(solved, next));
  }
}

/** The fuse that has most to carry beyond its rating, if any has. */
function overloaded(account: Account, blown: readonly Output[], what: FaultyThing): Output | undefined {
  let worst: Output | undefined;
  let most = BLOWS_AT;
  for (const [output, amps] of account.outputs) {
    if (output.fuse === undefined || blown.includes(output)) continue;
    if (what.kind === 'fuse' && what.output === output) continue;
    if (amps / output.fuse.amps > most * (1 + 1e-9)) {
      most = amps / output.fuse.amps;
      worst = output;
    }
  }
  return worst;
}

function thingsOf({ island, circuit }: SolvedIsland): FaultyThing[] {
  const things: FaultyThing[] = [];
  for (const supply of island.supplies) {
    if (circuit.sources.includes(supply)) things.push({ kind: 'supply', supply });
  }
  for (const output of outputsOf(island)) if (output.fuse !== undefined) things.push({ kind: 'fuse', output });
  for (const role of circuit.resistors)
    if (role.kind === 'port-fuse') things.push({ kind: 'port-fuse', run: role.run });
  for (const feed of island.feeds) things.push({ kind: 'feed', feed });
  for (const receiver of island.controllers) if (receiver.link !== undefined) things.push({ kind: 'link', receiver });
  return things;
}

function cutOf(solved: SolvedIsland, what: FaultyThing): Required<{ -readonly [K in keyof Cut]: number[] }> {
  const { circuit } = solved;
  const ids = (matches: (role: (typeof circuit.resistors)[number]) => boolean) =>
    circuit.resistors.flatMap((role, id) => (matches(role) ? [id] : []));
  switch (what.kind) {
    case 'supply':
      return { resistors: [], sources: [circuit.sources.indexOf(what.supply)] };
    case 'fuse':
      return { resistors: fuseOf(solved, what.output), sources: [] };
    case 'port-fuse':
      return { resistors: ids((role) => role.kind === 'port-fuse' && role.run === what.run), sources: [] };
    case 'link':
      return {
        resistors: ids((role) => role.kind === 'link' && role.controller === what.receiver),
        sources: [],
      };
    case 'feed': {
      // Pulled at the supply: V+ and ground of its first piece of cable.
      const first = what.feed.pieces.findIndex((piece) => piece.kind === 'cable');
      return {
        resistors: ids((role) => role.kind === 'feed' && role.feed === what.feed && role.piece === first),
        sources: [],
      };
    }
  }
}

function fuseOf({ circuit }: SolvedIsland, output: Output): number[] {
  return circuit.resistors.flatMap((role, id) => (role.kind === 'fuse' && role.output === output ? [id] : []));
}

const FINE = 0;
const LOW = 1;
const DARK = 2;

interface RunState {
  /** The state of each pixel; index 0 is pixel 1. */
  readonly pixels: Uint8Array;
  readonly noData: boolean;
}

function statesOf(solved: SolvedIsland, account: Account, dead: ReadonlySet<Controller>): Map<Run, RunState> {
  const states = new Map<Run, RunState>();
  for (const run of account.runs.values()) {
    const pixels = new Uint8Array(run.run.pixelCount);
    const noData = !hasPower(solved, run.run.controller) || comesFrom(run.run, dead);
    const suffers = run.strings.some(({ piece, least }) => !(least.volts >= leastOf(piece)));
    if (noData) pixels.fill(DARK);
    else if (suffers) markLow(run, pixels);
    states.set(run.run, { pixels, noData });
  }
  return states;
}

function markLow(run: RunAccount, state: Uint8Array): void {
  const { volts } = pixelsOf(run);
  for (const { piece } of run.strings) {
    const least = leastOf(piece);
    for (let pixel = piece.first; pixel < piece.first + piece.count; pixel++) {
      const at = sure(volts[pixel - 1]);
      state[pixel - 1] = !(at >= 0.5) ? DARK : at < least ? LOW : FINE;
    }
  }
}

/** V that a string needs; a dark pixel is never dim, but without power it is as dark for the data as any other. */
function leastOf({ part, line }: StringPiece): number {
  return isNull(line) ? 0.5 : part.least.value;
}

/** Boards run from 3.3 V logic; without a stated range, they stop below what a 3.3 V regulator needs (from memory). */
const LEAST_BOARD_VOLTS = 4;

/** Boards that send no data on: without power, or with their link pulled. */
function deadBoards(solved: SolvedIsland, what: FaultyThing): Set<Controller> {
  const dead = new Set(solved.island.controllers.filter((board) => !hasPower(solved, board)));
  if (what.kind === 'link') dead.add(what.receiver);
  return dead;
}

/** Whether the board still runs; one that the plan gives no power input is powered from elsewhere. */
function hasPower({ circuit, outcome }: SolvedIsland, controller: Controller | undefined): boolean {
  if (controller?.from === undefined || outcome.status !== 'solved') return true;
  const rails = sure(circuit.controllers.get(controller));
  const volts = sure(outcome.nodeVolts[rails.positive]) - sure(outcome.nodeVolts[rails.negative]);
  return volts >= (controller.part?.accepts?.from ?? LEAST_BOARD_VOLTS);
}

function affected(
  states: ReadonlyMap<Run, RunState>,
  account: Account,
  healthy: ReadonlyMap<Run, RunState>,
): RunFault[] {
  const found: RunFault[] = [];
  for (const [run, { pixels, noData }] of states) {
    const before = sure(healthy.get(run)).pixels;
    if (!pixels.some((value, index) => value > sure(before[index]))) continue;
    found.push({
      run,
      dark: ranges(pixels, DARK),
      low: ranges(pixels, LOW),
      leastVolts: Math.max(0, sure(account.runs.get(run)?.least).volts),
      noData,
    });
  }
  return found;
}

function ranges(state: Uint8Array, value: number): PixelRange[] {
  const found: PixelRange[] = [];
  for (let index = 0; index < state.length; index++) {
    if (state[index] !== value) continue;
    const last = found.at(-1);
    if (last !== undefined && last.to === index) found[found.length - 1] = { from: last.from, to: index + 1 };
    else found.push({ from: index + 1, to: index + 1 });
  }
  return found;
}
