import { exact } from '#grammar/exact.ts';
import { sure } from '#grammar/sure.ts';
import type { Solution } from '../electrics/solution.ts';
import { expandStretch } from '../electrics/solve.ts';
import type { Conditions } from './corners.ts';
import { fewMap } from './few-map.ts';
import { type Island, islandsOf } from './islands.ts';
import { type Compared, compareMeasured } from './measured.ts';
import type {
  Board,
  Controller,
  Design,
  Feed,
  FeedPiece,
  Output,
  Piece,
  Plan,
  Run,
  StringPiece,
  Supply,
} from './plan.ts';
import type { SolutionCache } from './solution-cache.ts';
import { LazyIsland, type SolvedIsland } from './solved-island.ts';
import { circuitOf, type IslandCircuit } from './to-circuit.ts';

/** What the solution says of each thing in the plan: volts, amps, and where the least voltage is. */
export interface Account {
  readonly islands: readonly SolvedIsland[];
  readonly runs: ReadonlyMap<Run, RunAccount>;
  readonly feeds: ReadonlyMap<Feed, FeedAccount>;
  /** Without those of supplies that are no source. */
  readonly outputs: ReadonlyMap<Output, number>;
  readonly boards: ReadonlyMap<Board, BoardAccount>;
  /** Those that are a source: of an unknown part nothing is known, not even that it gives nothing. */
  readonly supplies: ReadonlyMap<Supply, SupplyAccount>;
  /** The same for other looks that the plan expects something of, by `lookKey`; on the account of the whole plan. */
  readonly looks?: ReadonlyMap<string, Account>;
  /** Readings beside what is computed for their looks. */
  readonly measured: readonly Compared[];
}

export interface RunAccount {
  readonly run: Run;
  readonly solved: SolvedIsland;
  /** Sum of the pixels' currents, A. */
  readonly amps: number;
  /** Least voltage at any pixel and the pixel's number along the run; absent for a run without pixels. */
  readonly least: { readonly volts: number; readonly pixel: number } | undefined;
  /** A through the port's V+ fuse, 0 where the port passes no V+. */
  readonly portAmps: number;
  readonly strings: readonly StringAccount[];
  /** A of V+ and ground of each lead and gap. */
  readonly cables: ReadonlyMap<Piece, RailAmps>;
  /** V of ground at the first pixel above the controller's ground: it eats the data margin. */
  readonly groundShift: number;
}

export interface StringAccount {
  readonly piece: StringPiece;
  readonly startVolts: number;
  readonly endVolts: number;
  readonly least: { readonly volts: number; readonly pixel: number };
  /** Most current in the string's own conductors, A, and the pixel beside which it flows. */
  readonly most: { readonly amps: number; readonly pixel: number };
  readonly contactAmps: number;
}

type Draft<T> = { -readonly [K in keyof T]: T[K] };

export interface RailAmps {
  readonly positive: number;
  readonly negative: number;
}

export interface FeedAccount {
  readonly feed: Feed;
  /** A of each cable piece, at its place in feed.pieces; 0 for taps. */
  readonly pieces: readonly RailAmps[];
  /** V+ current into the feed, A. */
  readonly amps: number;
  /** Voltage lost between the output and the last tap, both conductors, V. */
  readonly drop: number;
}

export interface BoardAccount {
  readonly board: Board;
  /** A in its cable. */
  readonly cable: RailAmps;
  /** Voltage lost in its cable, both conductors, V. */
  readonly drop: number;
}

export interface SupplyAccount {
  readonly supply: Supply;
  readonly amps: number;
  readonly volts: number;
  readonly watts: number;
  /** Held at its limit: the voltage has folded back. */
  readonly limited: boolean;
}

/** Solves every island of a plan under some conditions, one account for each of them. */
export function accountsAt(plan: Plan, cache: SolutionCache, conditions: readonly Conditions[]): Account[] {
  const islands = islandsOf(plan).map((island) => ({ island, solve: cache.series() }));
  return conditions.map((each) => {
    const make = makerOf(plan.design, each, cache);
    const account = readIslands(islands.map(({ island, solve }) => new LazyIsland(island, make(island, solve), make)));
    // Readings were taken on the real thing, not at a corner.
    if (each.name !== '' || plan.measurements.length === 0) return account;
    return { ...account, measured: islands.flatMap(({ island }) => compareMeasured(island, plan.design, cache)) };
  });
}

/** A function of its own, so that what it gives holds on to nothing else: it lives as long as the account. */
function makerOf(design: Design, conditions: Conditions, cache: SolutionCache) {
  return (island: Island, solve = cache.series()) => {
    const circuit = circuitOf(island, design, conditions);
    return { circuit, outcome: solve(circuit) };
  };
}

/** Reads solutions back into the things of the plan; islands without a solution have no figures. */
export function readIslands(islands: readonly SolvedIsland[]): Account {
  const runs = new Map<Run, RunAccount>();
  const feeds = new Map<Feed, FeedAccount>();
  const outputs = new Map<Output, number>();
  const boards = new Map<Board, BoardAccount>();
  const supplies = new Map<Supply, SupplyAccount>();
  for (const solved of islands) {
    const { outcome } = solved;
    if (outcome.status !== 'solved') continue;
    const ledger = new Ledger(solved, outcome);
    for (const run of solved.island.runs) runs.set(run, ledger.run(run));
    for (const feed of solved.island.feeds) feeds.set(feed, ledger.feed(feed));
    for (const board of solved.island.boards) boards.set(board, ledger.board(board));
    for (const supply of solved.circuit.sources) supplies.set(supply, ledger.supply(supply));
    addOutputAmps(outputs, solved, outcome, runs, feeds, boards);
  }
  return {
    islands,
    runs: fewMap(runs),
    feeds: fewMap(feeds),
    outputs: fewMap(outputs),
    boards: fewMap(boards),
    supplies: fewMap(supplies),
    measured: NONE,
  };
}

/** The solution that the figures of a run were read from. */
export function solutionOf({ solved: { outcome } }: RunAccount): Solution {
  return sure(outcome.status === 'solved' ? outcome : undefined);
}

/** Volts and amps of every pixel of a run, index 0 is pixel 1; the pixels are expanded only here. */
export function pixelsOf(account: RunAccount): { volts: Float64Array; amps: Float64Array } {
  const volts = new Float64Array(account.run.pixelCount);
  const amps = new Float64Array(account.run.pixelCount);
  const { circuit } = account.solved;
  const solution = solutionOf(account);
  for (const [index, role] of circuit.stretches.entries()) {
    if (role.run !== account.run) continue;
    const pixels = expandStretch(circuit.circuit, solution, index);
    volts.set(pixels.volts, role.first - 1);
    amps.set(pixels.amps, role.first - 1);
  }
  return { volts, amps };
}

/** Reads one island's solution back into the things of the plan. */
class Ledger {
  private readonly solution: Solution;
  private readonly circuit: IslandCircuit;
  private readonly solved: SolvedIsland;
  private readonly stretches = new Map<Run, number[]>();
  private readonly resistors = new Map<Run | Feed, number[]>();

  constructor(solved: SolvedIsland, solution: Solution) {
    this.solved = solved;
    this.solution = solution;
    this.circuit = solved.circuit;
    for (const [index, role] of this.circuit.stretches.entries()) push(this.stretches, role.run, index);
    for (const [index, role] of this.circuit.resistors.entries()) {
      if ('run' in role) push(this.resistors, role.run, index);
      if ('feed' in role) push(this.resistors, role.feed, index);
    }
  }

  run(run: Run): RunAccount {
    const strings = new Map<StringPiece, Draft<StringAccount>>();
    let amps = 0;
    let least: RunAccount['least'];
    for (const index of this.stretches.get(run) ?? []) {
      const role = sure(this.circuit.stretches[index]);
      const stretch = sure(this.circuit.circuit.stretches[index]);
      const summary = sure(this.solution.stretches[index]);
      amps += summary.amps;
      const found = { volts: summary.leastVolts, pixel: role.first + summary.leastPixel - 1 };
      if (least === undefined || found.volts < least.volts) least = found;
      const flows = [
        { amps: Math.abs(summary.positiveStartAmps), pixel: role.first },
        { amps: Math.abs(summary.negativeStartAmps), pixel: role.first },
        { amps: Math.abs(summary.positiveEndAmps), pixel: role.first + stretch.count - 1 },
        { amps: Math.abs(summary.negativeEndAmps), pixel: role.first + stretch.count - 1 },
      ];
      const before = strings.get(role.piece);
      const most = flows.reduce((a, b) => (b.amps > a.amps ? b : a), before?.most ?? { amps: 0, pixel: role.first });
      strings.set(role.piece, {
        piece: role.piece,
        startVolts: before?.startVolts ?? this.across(stretch.positiveStart, stretch.negativeStart),
        endVolts: this.across(stretch.positiveEnd, stretch.negativeEnd),
        least: before === undefined || found.volts < before.least.volts ? found : before.least,
        most,
        contactAmps: 0,
      });
    }
    const cables = new Map<Piece, RailAmps>();
    let portAmps = 0;
    for (const index of this.resistors.get(run) ?? []) {
      const role = sure(this.circuit.resistors[index]);
      const through = Math.abs(sure(this.solution.resistorAmps[index]));
      if (role.kind === 'port-fuse') portAmps = through;
      if (role.kind === 'lead' || role.kind === 'gap')
        cables.set(role.piece, withRail(cables.get(role.piece), role.rail, through));
      if (role.kind === 'contact') {
        const string = sure(strings.get(role.piece));
        string.contactAmps = Math.max(string.contactAmps, through);
      }
    }
    return {
      run,
      solved: this.solved,
      amps,
      least,
      portAmps,
      strings: exact([...strings.values()]),
      cables: fewMap(cables),
      groundShift: this.groundShift(run),
    };
  }

  feed(feed: Feed): FeedAccount {
    const pieces: RailAmps[] = feed.pieces.map(() => NO_AMPS);
    let drop = 0;
    for (const index of this.resistors.get(feed) ?? []) {
      const role = sure(this.circuit.resistors[index]);
      if (role.kind !== 'feed' && role.kind !== 'tap-contact') continue;
      const amps = sure(this.solution.resistorAmps[index]);
      const { ohms } = sure(this.circuit.circuit.resistors[index]);
      pieces[role.piece] = withRail(pieces[role.piece], role.rail, role.rail === 'V+' ? amps : -amps);
      if (role.kind === 'feed') drop += ohms * (role.rail === 'V+' ? amps : -amps);
    }
    const first = feed.pieces.findIndex((piece: FeedPiece) => piece.kind === 'cable');
    return { feed, pieces, amps: pieces[first]?.positive ?? 0, drop };
  }

  board(board: Board): BoardAccount {
    let cable = NO_AMPS;
    let drop = 0;
    for (const [index, role] of this.circuit.resistors.entries()) {
      if (role.kind !== 'board' || role.board !== board) continue;
      const through = sure(this.solution.resistorAmps[index]);
      const amps = role.rail === 'V+' ? through : -through;
      cable = withRail(cable, role.rail, amps);
      drop += sure(this.circuit.circuit.resistors[index]).ohms * amps;
    }
    return { board, cable, drop };
  }

  supply(supply: Supply): SupplyAccount {
    const index = this.circuit.sources.indexOf(supply);
    const rails = sure(this.circuit.supplies.get(supply));
    const amps = sure(this.solution.sourceAmps[index]);
    const volts = this.across(rails.positive, rails.negative);
    return {
      supply,
      amps,
      volts,
      watts: amps * volts,
      limited: this.solution.sourceLimited[index] === 1,
    };
  }

  /** Volts between two nodes; none where no supply reaches them. */
  private across(positive: number, negative: number): number {
    const volts = sure(this.solution.nodeVolts[positive]) - sure(this.solution.nodeVolts[negative]);
    return Number.isFinite(volts) ? volts : 0;
  }

  private groundShift(run: Run): number {
    const board = run.controller === undefined ? undefined : this.circuit.controllers.get(run.controller);
    const start = this.circuit.runStarts.get(run);
    return board === undefined || start === undefined ? 0 : this.across(start.negative, board.negative);
  }
}

const NONE: readonly never[] = [];

const NO_AMPS: RailAmps = { positive: 0, negative: 0 };

function withRail(before: RailAmps | undefined, rail: 'V+' | 'ground', amps: number): RailAmps {
  return rail === 'V+'
    ? { positive: amps, negative: before?.negative ?? 0 }
    : { positive: before?.positive ?? 0, negative: amps };
}

/** Current out of every output: through its fuse, or into all that starts at it. */
function addOutputAmps(
  outputs: Map<Output, number>,
  solved: SolvedIsland,
  solution: Solution,
  runs: ReadonlyMap<Run, RunAccount>,
  feeds: ReadonlyMap<Feed, FeedAccount>,
  boards: ReadonlyMap<Board, BoardAccount>,
): void {
  const owners = [...solved.island.supplies, ...solved.island.boards];
  for (const owner of owners) for (const output of owner.outputs.values()) outputs.set(output, 0);
  for (const [index, role] of solved.circuit.resistors.entries()) {
    if (role.kind === 'fuse') outputs.set(role.output, sure(solution.resistorAmps[index]));
  }
  const add = (output: Output | undefined, amps: number) => {
    if (output !== undefined && output.fuse === undefined) outputs.set(output, sure(outputs.get(output)) + amps);
  };
  for (const board of solved.island.boards) add(board.from, sure(boards.get(board)).cable.positive);
  for (const feed of solved.island.feeds) add(feed.from, sure(feeds.get(feed)).amps);
  for (const controller of solved.island.controllers)
    add(controller.from, controllerAmps(controller, solved, solution, runs));
  for (const supply of solved.island.supplies)
    if (!solved.circuit.sources.includes(supply)) for (const output of supply.outputs.values()) outputs.delete(output);
}

function controllerAmps(
  controller: Controller,
  solved: SolvedIsland,
  solution: Solution,
  runs: ReadonlyMap<Run, RunAccount>,
): number {
  let sum = solution.loadAmps[solved.circuit.loads.indexOf(controller)] ?? 0;
  for (const run of solved.island.runs) if (run.controller === controller) sum += sure(runs.get(run)).portAmps;
  return sum;
}

function push<K, V>(map: Map<K, V[]>, key: K, value: V): void {
  const list = map.get(key);
  if (list === undefined) map.set(key, [value]);
  else list.push(value);
}
