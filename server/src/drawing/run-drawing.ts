import { sure } from '#grammar/sure.ts';
import type { Account } from '../model/account.ts';
import { neededVolts } from '../model/null-pixels.ts';
import type { Plan, Run, StringPiece } from '../model/plan.ts';
import type { SolutionCache } from '../model/solution-cache.ts';
import { volts as voltsText } from '../model/texts.ts';
import type { LaneScale } from './lane-scale.ts';
import { runLane } from './run-lane.ts';
import { type Profile, profilesOf } from './run-profile.ts';
import { type Drawing, group, type Look, label, line, type Shape, widthOf } from './shape.ts';

const WIDTH = 960;
const HEIGHT = 190;

/** A run with its feeds, and below it, at the same scale, the voltage along it for each look and corner. */
export function runDrawing(plan: Plan, account: Account, run: Run, cache: SolutionCache, width = WIDTH): Drawing {
  const lane = runLane(plan, account, run, 4, width);
  const profiles = profilesOf(plan, account, run, cache);
  const top = lane.bottom + 14;
  const shapes = profiles.length === 0 ? [] : profileShapes(run, profiles, lane.scale, top);
  return {
    title: `Run ${run.name}: wiring, and voltage along it`,
    width,
    height: profiles.length === 0 ? lane.bottom : top + HEIGHT + 22 + legendOf(profiles, lane.scale).rows * 16,
    shapes: [...lane.shapes, ...shapes],
  };
}

/** More points than this cannot be seen at this width. */
const MOST_POINTS = 360;

function profileShapes(run: Run, profiles: readonly Profile[], scale: LaneScale, top: number): Shape[] {
  const strings = run.pieces.filter((piece): piece is StringPiece => piece.kind === 'string');
  const limits = new Set(strings.flatMap((piece) => neededVolts(piece) ?? []));
  const all = profiles.flatMap(({ volts }) => [min(volts), max(volts)]);
  const low = Math.max(0, Math.min(...all, ...limits) - 0.15);
  const high = Math.max(...all, ...limits) + 0.1;
  const y = (volts: number) => top + ((high - volts) / (high - low)) * HEIGHT;
  return [
    ...axis(scale, low, high, y),
    ...limitLines(strings, scale, y),
    ...[...profiles].reverse().flatMap((profile) => curve(run, strings, profile, profiles.indexOf(profile), scale, y)),
    ...legend(profiles, scale, top + HEIGHT + 20),
  ];
}

function axis(scale: LaneScale, low: number, high: number, y: (volts: number) => number): Shape[] {
  const step = [0.05, 0.1, 0.2, 0.5, 1, 2, 5].find((size) => (high - low) / size <= 6) ?? 10;
  const shapes: Shape[] = [];
  for (let index = Math.ceil(low / step); index * step <= high; index++) {
    const volts = index * step;
    shapes.push(line(scale.left, y(volts), scale.right, y(volts), 'faint'));
    shapes.push(label(scale.left - 8, y(volts) + 4, `${Number(volts.toFixed(2))} V`, 'faint', 'end'));
  }
  return shapes;
}

function limitLines(strings: readonly StringPiece[], scale: LaneScale, y: (volts: number) => number): Shape[] {
  const shapes: Shape[] = [];
  let from: { x: number; volts: number } | undefined;
  let end = 0;
  const close = () => {
    if (from === undefined) return;
    shapes.push(
      group(
        `Least for true white: ${from.volts} V`,
        undefined,
        line(from.x, y(from.volts), end, y(from.volts), 'limit'),
      ),
    );
  };
  for (const piece of strings) {
    const volts = neededVolts(piece);
    const [start, stop] = sure(scale.spans.get(piece));
    if (from?.volts !== volts) {
      close();
      from = volts === undefined ? undefined : { x: start, volts };
      if (volts !== undefined)
        shapes.push(label(start + 4, y(volts) - 4, `least ${Number(volts.toFixed(2))} V`, 'limit'));
    }
    end = stop;
  }
  close();
  return shapes;
}

function curve(
  run: Run,
  strings: readonly StringPiece[],
  profile: Profile,
  index: number,
  scale: LaneScale,
  y: (volts: number) => number,
): Shape[] {
  const step = Math.max(1, Math.floor(run.pixelCount / MOST_POINTS));
  const points: [number, number][] = [];
  const low: [number, number][][] = [];
  let below = false;
  for (const piece of strings) {
    for (let pixel = 1; pixel <= piece.count; pixel++) {
      const volts = sure(profile.volts[piece.first + pixel - 2]);
      if (pixel !== 1 && pixel !== piece.count && pixel % step !== 0) continue;
      const point: [number, number] = [scale.joint(piece, pixel), y(volts)];
      points.push(point);
      const isLow = profile.isDesign && volts < (neededVolts(piece) ?? 0);
      if (isLow && !below) low.push([]);
      if (isLow) low.at(-1)?.push(point);
      below = isLow;
    }
  }
  const says = `${profile.name}: from ${volts2(profile.volts[0])} at the first pixel, least ${volts2(min(profile.volts))}, to ${volts2(profile.volts[run.pixelCount - 1])} at the last`;
  return [
    group(
      says,
      run.origin,
      { kind: 'path', points, look: profile.isDesign ? 'ink' : lookOf(index) },
      ...low.filter((part) => part.length > 1).map((part): Shape => ({ kind: 'path', points: part, look: 'low' })),
    ),
  ];
}

/** The others are thin; which is which stands in the legend by number, and at the end of each curve. */
const lookOf = (index: number): Look => (index % 2 === 0 ? 'other' : 'faint');

function legend(profiles: readonly Profile[], scale: LaneScale, top: number): Shape[] {
  const { columns, width } = legendOf(profiles, scale);
  return profiles.map((profile, index) => {
    const x = scale.left + (index % columns) * width;
    const y = top + Math.floor(index / columns) * 16;
    return group(
      `${profile.name}, least ${leastOf(profile)}`,
      undefined,
      line(x, y - 4, x + 16, y - 4, profile.isDesign ? 'ink' : lookOf(index)),
      label(x + MARK, y, legendText(profile), profile.isDesign ? 'ink' : 'faint'),
    );
  });
}

/** What a line of the legend takes in front of its text. */
const MARK = 21;

/** As many beside each other as fit, three at most. */
function legendOf(profiles: readonly Profile[], { left, right }: LaneScale) {
  const longest = Math.max(...profiles.map((profile) => MARK + widthOf(legendText(profile)) + 12));
  const columns = Math.min(3, Math.max(1, Math.floor((right - left) / longest)));
  return { columns, rows: Math.ceil(profiles.length / columns), width: (right - left) / columns };
}

const legendText = (profile: Profile) => `${profile.name}: least ${leastOf(profile)}`;
const leastOf = ({ volts }: Profile) => volts2(min(volts));

const volts2 = (value: number | undefined) => voltsText(value ?? 0);

function min(values: Float64Array): number {
  let least = Number.POSITIVE_INFINITY;
  for (const value of values) if (value < least) least = value;
  return Number.isFinite(least) ? least : 0;
}

function max(values: Float64Array): number {
  let most = 0;
  for (const value of values) if (value > most) most = value;
  return most;
}
