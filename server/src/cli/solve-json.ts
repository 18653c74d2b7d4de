import { type Account, pixelsOf } from '../model/account.ts';
import { addressesOf, type RunAddress } from '../model/addresses.ts';
import { dataMargins } from '../model/data-margin.ts';
import { MAST_CAUTION, mastLoad } from '../model/mast-load.ts';
import { networkLoads } from '../model/network-load.ts';
import { outputText } from '../model/outputs.ts';
import type { Mast } from '../model/plan.ts';
import { portName } from '../model/port-of.ts';
import type { SeasonAccount } from '../model/season.ts';
import type { SolvedIsland } from '../model/solved-island.ts';
import { VERSION } from '../model/version.ts';
import type { CableReport, CircuitReport, FeedReport, Report, RunReport, SupplyReport } from './report.ts';

/**
 * What `solve --format json` prints: SI units throughout. Described by schema/solve.schema.json, whose version changes
 * with its meaning.
 */
export function solveJson(file: string, report: Report, account: Account): object {
  const { design } = report.plan;
  return {
    format: 'festoon-solve',
    version: 1,
    festoon: VERSION,
    file,
    title: design.title,
    design: {
      look: design.look.value,
      brightness: design.brightness.value,
      copperDegreesCelsius: design.air.value.to,
      framesPerSecond: design.frameRate.value,
      supplyShare: design.supplyShare.value,
      fuseShare: design.fuseShare.value,
    },
    solver: account.islands.map(solverJson),
    supplies: report.supplies.map(supplyJson),
    outputs: report.supplies.flatMap((supply) => supply.outputs.map((output) => outputJson(output))),
    runs: report.runs.map((run) => runJson(run, addressesOf(report.plan).get(run.run))),
    controllers: [...networkLoads(report.plan)].map(([controller, load]) => ({ name: controller.name, ...load })),
    feeds: report.feeds.map(feedJson),
    boards: report.boards.map(({ board, cable }) => ({
      name: board.name,
      output: outputText(board.from),
      amps: cable.amps?.positive,
      drop: cable.drop,
    })),
    cables: [
      ...report.runs.flatMap(({ run, cables }) => cables.map((cable) => cableJson(run.name, cable))),
      ...report.feeds.flatMap(({ feed, cables }) => cables.map((cable) => cableJson(feed.name, cable))),
      ...report.boards.map(({ board, cable }) => cableJson(board.name, cable)),
    ],
    circuits: report.circuits.map((circuit) => circuitJson(report, circuit)),
    extensions: report.extensions.map(({ extension, owner, amps, drop, total }) => ({
      of: owner.name,
      part: extension.cord?.name,
      metres: extension.length,
      amps,
      drop,
      totalDrop: total,
      rated: extension.cord?.rated?.value,
    })),
    masts: [...report.plan.masts.values()].map(mastJson),
    season: report.season === undefined ? undefined : seasonJson(report.season),
    costs: [...report.costs.total].map(([currency, amount]) => ({ currency, amount })),
  };
}

function circuitJson({ season }: Report, { circuit, amps, share, inrush, leakage }: CircuitReport): object {
  const energy = season?.circuits.get(circuit);
  return {
    name: circuit.name,
    amps,
    rated: circuit.amps,
    share,
    inrush: inrush.stated === 0 ? undefined : inrush.amps,
    leakage: leakage.stated === 0 ? undefined : leakage.amps,
    seasonKilowattHours: energy === undefined ? undefined : energy.joules / 3.6e6,
    seasonCost: energy?.cost,
  };
}

/** N, N m and Pa: a first estimate that approves nothing. */
function mastJson(mast: Mast): object {
  const load = mastLoad(mast);
  return {
    name: mast.name,
    windPressure: load.pressure,
    windForce: load.wind,
    moment: load.moment,
    guyPull: load.guy,
    anchorHorizontal: load.anchorHorizontal,
    anchorVertical: load.anchorVertical,
    guyRated: mast.guys.rated?.value,
    anchorRated: mast.anchor?.value,
    caution: MAST_CAUTION,
  };
}

function seasonJson({ season, joules, cost }: SeasonAccount): object {
  return {
    nights: season.nights,
    hours: season.seconds / 3600,
    brightness: season.brightness.value,
    kilowattHours: joules / 3.6e6,
    cost,
  };
}

/** One for each part of the plan that is electrically joined. */
function solverJson({ island, circuit, outcome }: SolvedIsland): object {
  const part = {
    status: outcome.status,
    supplies: island.supplies.map((supply) => supply.name),
    runs: island.runs.map((run) => run.name),
    nodes: circuit.circuit.nodeCount,
    iterations: outcome.iterations,
  };
  if (outcome.status !== 'solved') {
    return { ...part, worstNode: circuit.nodes[outcome.node], residualAmps: outcome.residualAmps };
  }
  return { ...part, currentResidual: outcome.currentResidual, powerResidual: outcome.powerResidual };
}

function supplyJson({ supply, account, rated, share }: SupplyReport): object {
  return {
    name: supply.name,
    setVolts: supply.volts?.value,
    volts: account?.volts,
    amps: account?.amps,
    watts: account?.watts,
    rated,
    share,
    isLimited: account?.limited,
  };
}

function outputJson({ output, amps, share, isUsed }: SupplyReport['outputs'][number]): object {
  const { fuse } = output;
  return {
    name: outputText(output),
    amps,
    fuse: fuse?.amps,
    share,
    drop: amps === undefined || fuse === undefined ? undefined : amps * fuse.ohms,
    isUsed,
  };
}

function runJson(
  { run, account, needs, shift, portFuse, portShare, frameSeconds, frameShare }: RunReport,
  address: RunAddress | undefined,
): object {
  const pixels = account === undefined ? undefined : pixelsOf(account);
  const margins = account === undefined ? [] : dataMargins(account);
  return {
    name: run.name,
    port: run.controller === undefined ? undefined : portName(run),
    pixels: run.pixelCount,
    amps: account?.amps,
    leastVolts: account?.least?.volts,
    leastPixel: account?.least?.pixel,
    neededVolts: needs,
    colourShift: shift === undefined ? undefined : { colours: shift.colours, share: shift.share, pixel: shift.pixel },
    groundShift: account?.groundShift,
    dataMargin:
      margins.length === 0 ? undefined : margins.reduce((least, { margin }) => Math.min(least, margin), Infinity),
    portAmps: portFuse === undefined ? undefined : account?.portAmps,
    portFuse,
    portShare,
    frameSeconds,
    frameShare,
    addresses: address?.spans,
    pixelVolts: pixels?.volts,
    pixelAmps: pixels?.amps,
  };
}

function feedJson({ feed, account, metres, taps, share }: FeedReport): object {
  return {
    name: feed.name,
    output: feed.from === undefined ? undefined : outputText(feed.from),
    metres,
    amps: account?.amps,
    drop: account?.drop,
    share,
    taps: taps.map(({ tap, amps }) => ({
      run: tap.tap.run.name,
      text: tap.tap.text,
      // Tap 0 of a string is the joint before its first pixel.
      pixel: tap.tap.piece.first + Math.max(tap.tap.pixel, 1) - 1,
      isBefore: tap.tap.pixel === 0,
      amps,
    })),
  };
}

function cableJson(owner: string, { kind, part, metres, parallel, amps, drop, rated, share }: CableReport): object {
  return {
    kind,
    of: owner,
    part: part?.name,
    metres,
    parallel,
    positiveAmps: amps?.positive,
    groundAmps: amps?.negative,
    drop,
    rated,
    share,
  };
}
