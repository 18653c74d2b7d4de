import type { Analysis } from '../analysis/analysis.ts';
import { cablesOn } from '../checks/route-crowded.ts';
import type { BoardAccount, FeedAccount, RailAmps, RunAccount, SupplyAccount } from '../model/account.ts';
import {
  circuitAmps,
  type Summed,
  summed,
  suppliesOn,
  type UsedExtension,
  usedExtensions,
} from '../model/circuit-load.ts';
import { type ColourShift, colourShiftOf } from '../model/colour-shift.ts';
import { conductorOhms } from '../model/conductors.ts';
import { addressedPixels } from '../model/fixtures.ts';
import { frameTime } from '../model/frame-time.ts';
import { neededVolts } from '../model/null-pixels.ts';
import { outputsOf, usersOf } from '../model/outputs.ts';
import type {
  Board,
  CablePart,
  Circuit,
  Conductor,
  Design,
  Feed,
  FeedPiece,
  Output,
  Plan,
  Route,
  Run,
  Supply,
} from '../model/plan.ts';
import { type SeasonAccount, seasonAccount } from '../model/season.ts';
import { type Costs, costsOf } from '../papers/costs.ts';

/** What a plan amounts to, thing by thing; the text for people and the JSON for programs are both written from this. */
export interface Report {
  readonly plan: Plan;
  readonly supplies: readonly SupplyReport[];
  readonly runs: readonly RunReport[];
  readonly feeds: readonly FeedReport[];
  readonly boards: readonly { readonly board: Board; readonly cable: CableReport }[];
  readonly routes: readonly { readonly route: Route; readonly cables: number }[];
  readonly circuits: readonly CircuitReport[];
  readonly extensions: readonly UsedExtension[];
  readonly season: SeasonAccount | undefined;
  readonly costs: Costs;
  readonly totals: Totals;
}

/** `account` is absent where no voltages were found; `share` where there is no rating. Shares are of the rating itself. */
export interface SupplyReport {
  readonly supply: Supply;
  readonly account: SupplyAccount | undefined;
  readonly rated: number | undefined;
  readonly share: number | undefined;
  readonly outputs: readonly OutputReport[];
}

export interface OutputReport {
  readonly output: Output;
  readonly amps: number | undefined;
  readonly share: number | undefined;
  readonly isUsed: boolean;
}

export interface RunReport {
  readonly run: Run;
  readonly account: RunAccount | undefined;
  /** Least voltage for true white of the part at the lowest pixel, V. */
  readonly needs: number | undefined;
  /** The colour that starves most, and where; absent where all have their full light. */
  readonly shift: ColourShift | undefined;
  readonly portFuse: number | undefined;
  readonly portShare: number | undefined;
  /** Seconds that the run takes on the data wire, and the share of a frame that this is. */
  readonly frameSeconds: number;
  readonly frameShare: number;
  readonly cables: readonly CableReport[];
}

export interface FeedReport {
  readonly feed: Feed;
  readonly account: FeedAccount | undefined;
  /** Metres of all its pieces, doubled cables counted once. */
  readonly metres: number;
  readonly taps: readonly { readonly tap: Extract<FeedPiece, { kind: 'tap' }>; readonly amps: number | undefined }[];
  readonly cables: readonly CableReport[];
  /** The fullest cable's share. */
  readonly share: number | undefined;
}

export interface CableReport {
  readonly kind: 'lead' | 'gap' | 'feed' | 'board';
  /** Absent where the string's own wire goes on. */
  readonly part: CablePart | undefined;
  readonly metres: number;
  readonly parallel: number;
  readonly amps: RailAmps | undefined;
  /** Voltage lost on both conductors together, V. */
  readonly drop: number | undefined;
  /** Rating of all parallel conductors together, A. */
  readonly rated: number | undefined;
  readonly share: number | undefined;
}

export interface CircuitReport {
  readonly circuit: Circuit;
  readonly amps: number;
  readonly share: number | undefined;
  readonly supplies: readonly Supply[];
  /** Of all its supplies together, as far as their parts state it. */
  readonly inrush: Summed;
  readonly leakage: Summed;
}

export interface Totals {
  readonly pixels: number;
  /** W that the supplies give, and W and VA that they take from the mains. */
  readonly watts: number;
  readonly mainsWatts: number;
  readonly mainsVoltAmperes: number;
  /** Islands of the plan for which no voltages were found. */
  readonly unsolved: number;
}

export function reportOf({ plan, account }: Analysis): Report {
  const supplies = [...plan.supplies.values()].map((supply) =>
    supplyReport(plan, account.outputs, account.supplies.get(supply), supply),
  );
  return {
    plan,
    supplies,
    runs: [...plan.runs.values()].map((run) => runReport(plan.design, run, account.runs.get(run))),
    feeds: [...plan.feeds.values()].map((feed) => feedReport(plan.design, feed, account.feeds.get(feed))),
    boards: [...plan.boards.values()].map((board) => ({
      board,
      cable: boardCable(plan.design, board, account.boards.get(board)),
    })),
    routes: plan.routes.map((route) => ({
      route,
      cables: cablesOn(plan, route).reduce((sum, cable) => sum + cable.count, 0),
    })),
    circuits: [...plan.circuits.values()].map((circuit) => {
      const amps = circuitAmps(account, circuit);
      return {
        circuit,
        amps,
        share: shareOf(amps, circuit.amps),
        supplies: suppliesOn(plan, circuit),
        inrush: summed(plan, circuit, 'inrush'),
        leakage: summed(plan, circuit, 'leakage'),
      };
    }),
    extensions: usedExtensions(plan, account),
    season: seasonAccount(plan, account),
    costs: costsOf(plan),
    totals: totalsOf(plan, supplies, account.islands.filter((island) => island.outcome.status !== 'solved').length),
  };
}

function supplyReport(
  plan: Plan,
  outputs: ReadonlyMap<Output, number>,
  account: SupplyAccount | undefined,
  supply: Supply,
): SupplyReport {
  return {
    supply,
    account,
    rated: supply.part?.rated,
    share: shareOf(account?.amps, supply.part?.rated),
    outputs: outputsOf(plan)
      .filter((output) => output.supply === supply)
      .map((output) => {
        const amps = outputs.get(output);
        return { output, amps, share: shareOf(amps, output.fuse?.amps), isUsed: usersOf(plan, output).length > 0 };
      }),
  };
}

function runReport(design: Design, run: Run, account: RunAccount | undefined): RunReport {
  const lowest = account?.least?.pixel;
  const string = account?.strings.find(
    ({ piece }) => lowest !== undefined && lowest >= piece.first && lowest < piece.first + piece.count,
  );
  const portFuse = run.controller?.part?.portFuse;
  const frameSeconds = frameTime(run);
  return {
    run,
    account,
    needs: string && neededVolts(string.piece),
    shift: account === undefined ? undefined : colourShiftOf(account, design.look.value),
    portFuse,
    portShare: shareOf(account?.portAmps, portFuse),
    frameSeconds,
    frameShare: frameSeconds * design.frameRate.value,
    cables: run.pieces.flatMap((piece): CableReport[] => {
      if (piece.kind !== 'lead' && !(piece.kind === 'gap' && !piece.bare)) return [];
      const conductor = piece.kind === 'gap' ? piece.wire : piece.cable.conductor;
      return [cableReport(design, piece.kind, piece.cable, conductor, piece.length, 1, account?.cables.get(piece))];
    }),
  };
}

function feedReport(design: Design, feed: Feed, account: FeedAccount | undefined): FeedReport {
  const cables: CableReport[] = [];
  const taps: FeedReport['taps'][number][] = [];
  for (const [index, piece] of feed.pieces.entries()) {
    const amps = account?.pieces[index];
    if (piece.kind === 'tap') taps.push({ tap: piece, amps: amps?.positive });
    else
      cables.push(cableReport(design, 'feed', piece.cable, piece.cable.conductor, piece.length, piece.parallel, amps));
  }
  const shares = cables.flatMap((cable) => cable.share ?? []);
  return {
    feed,
    account,
    metres: cables.reduce((sum, cable) => sum + cable.metres, 0),
    taps,
    cables,
    share: shares.length === 0 ? undefined : Math.max(...shares),
  };
}

function boardCable(
  design: Design,
  { cable, length, parallel }: Board,
  account: BoardAccount | undefined,
): CableReport {
  return cableReport(design, 'board', cable, cable.conductor, length, parallel, account?.cable);
}

function cableReport(
  design: Design,
  kind: CableReport['kind'],
  part: CablePart | undefined,
  conductor: Conductor | undefined,
  metres: number,
  parallel: number,
  amps: RailAmps | undefined,
): CableReport {
  const rated = part?.rated === undefined ? undefined : part.rated.value * parallel;
  const most = amps === undefined ? undefined : Math.max(Math.abs(amps.positive), Math.abs(amps.negative));
  const ohms = conductor === undefined ? undefined : conductorOhms(conductor, metres, design.air.value.to, parallel);
  return {
    kind,
    part,
    metres,
    parallel,
    amps,
    drop: amps === undefined || ohms === undefined ? undefined : ohms * (amps.positive + amps.negative),
    rated,
    share: shareOf(most, rated),
  };
}

function totalsOf(plan: Plan, supplies: readonly SupplyReport[], unsolved: number): Totals {
  let pixels = 0;
  for (const run of plan.runs.values()) pixels += addressedPixels(run);
  const totals = { pixels, watts: 0, mainsWatts: 0, mainsVoltAmperes: 0, unsolved };
  for (const { supply, account } of supplies) {
    const { efficiency, powerFactor } = supply.part ?? {};
    const watts = account?.watts ?? 0;
    totals.watts += watts;
    totals.mainsWatts += watts / (efficiency?.value ?? 1);
    totals.mainsVoltAmperes += watts / (efficiency?.value ?? 1) / (powerFactor?.value ?? 1);
  }
  return totals;
}

function shareOf(value: number | undefined, rated: number | undefined): number | undefined {
  return value === undefined || rated === undefined || rated <= 0 ? undefined : value / rated;
}
