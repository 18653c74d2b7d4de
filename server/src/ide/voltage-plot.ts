import { sure } from '#grammar/sure.ts';
import { exceeds } from '../checks/limits.ts';
import { escapeXml } from '../model/escape-xml.ts';
import { volts as voltsText } from '../model/texts.ts';
import type { Picture } from './card.ts';

/**
 * A small drawing of the voltage along a run. Its colours are middle tones that can be read on dark and light ground;
 * nothing is told by colour alone: the limit is dashed and labelled, what lies below it is drawn thick.
 */
export interface VoltageCurve {
  readonly name: string;
  /** V at each pixel, index 0 is pixel 1. */
  readonly volts: ArrayLike<number>;
  /** Least voltage that the pixels from `first` on need, V; one entry for each change along the run. */
  readonly limits: readonly { readonly first: number; readonly volts: number }[];
  /** Where power comes in. */
  readonly taps: readonly { readonly pixel: number; readonly name: string }[];
}

const WIDTH = 420;
const HEIGHT = 130;
const LEFT = 44;
const RIGHT = 12;
const TOP = 12;
const BOTTOM = 18;
/** More points than this cannot be seen at this width. */
const MOST_POINTS = 180;
/** How far the curve may be drawn beside the voltage of a pixel, in units of the drawing: a tenth of its thickness. */
const UNSEEN = 0.15;

const INK = '#868686';
const CURVE = '#3f95d6';
const LIMIT = '#d27c2c';

interface Scale {
  readonly x: (pixel: number) => number;
  readonly y: (volts: number) => number;
  readonly low: number;
  readonly high: number;
}

/** Undefined for a run without pixels or without volts. */
export function voltagePlot(curve: VoltageCurve): Picture | undefined {
  const points = thin(curve.volts);
  if (points.length === 0) return undefined;
  const scale = scaleOf(curve, points);
  const parts = [
    ...voltAxis(scale),
    ...pixelAxis(scale, curve.volts.length),
    ...limitLine(scale, curve),
    ...tapMarks(scale, curve),
    ...curvePaths(scale, curve, points),
  ];
  // It is shown as an image, which tells its own text and nothing that stands inside.
  const svg = `<svg xmlns="http://www.w3.org/2000/svg" width="${WIDTH}" height="${HEIGHT}" viewBox="0 0 ${WIDTH} ${HEIGHT}" font-family="sans-serif" font-size="10" fill="${INK}">${parts.join('')}</svg>`;
  return { svg, alt: altText(curve), width: WIDTH, height: HEIGHT };
}

interface Point {
  readonly pixel: number;
  readonly volts: number;
}

/** At most so many points as can be seen; of each group the least and the greatest are kept, so that no dip is lost. */
function thin(volts: ArrayLike<number>): Point[] {
  const all: Point[] = [];
  for (let index = 0; index < volts.length; index++) {
    const value = sure(volts[index]);
    if (Number.isFinite(value)) all.push({ pixel: index + 1, volts: value });
  }
  if (all.length <= MOST_POINTS) return all;
  const size = Math.ceil((all.length * 2) / MOST_POINTS);
  const kept: Point[] = [];
  for (let from = 0; from < all.length; from += size) {
    const group = all.slice(from, from + size);
    const least = group.reduce((a, b) => (b.volts < a.volts ? b : a));
    const most = group.reduce((a, b) => (b.volts > a.volts ? b : a));
    kept.push(...(least.pixel < most.pixel ? [least, most] : least === most ? [least] : [most, least]));
  }
  const [first, last] = [sure(all[0]), sure(all.at(-1))];
  if (kept[0]?.pixel !== first.pixel) kept.unshift(first);
  if (kept.at(-1)?.pixel !== last.pixel) kept.push(last);
  return kept;
}

function scaleOf(curve: VoltageCurve, points: readonly Point[]): Scale {
  let [least, most] = [Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY];
  for (const { volts } of [...points, ...curve.limits]) {
    least = Math.min(least, volts);
    most = Math.max(most, volts);
  }
  const pad = Math.max((most - least) * 0.12, 0.05);
  const [low, high] = [Math.max(0, least - pad), most + pad];
  const count = curve.volts.length;
  return {
    low,
    high,
    x: (pixel) => LEFT + (count <= 1 ? 0.5 : (Math.max(pixel, 1) - 1) / (count - 1)) * (WIDTH - LEFT - RIGHT),
    y: (volts) => TOP + ((high - volts) / (high - low)) * (HEIGHT - TOP - BOTTOM),
  };
}

function voltAxis({ y, low, high }: Scale): string[] {
  const step = niceStep((high - low) / 4);
  const parts: string[] = [];
  for (let index = Math.ceil(low / step); index * step <= high; index++) {
    const volts = index * step;
    parts.push(line(LEFT, y(volts), WIDTH - RIGHT, y(volts), INK, ' stroke-opacity="0.3"'));
    parts.push(label(LEFT - 5, y(volts) + 3.5, 'end', `${trim(volts)} V`));
  }
  return parts;
}

function pixelAxis({ x }: Scale, count: number): string[] {
  const bottom = HEIGHT - BOTTOM;
  const step = count <= 4 ? 1 : niceStep(count / 4);
  const ticks = [1];
  for (let pixel = step; pixel < count - step / 2; pixel += step) if (pixel > 1) ticks.push(pixel);
  if (count > 1) ticks.push(count);
  return [
    `<path d="M${LEFT} ${bottom}H${WIDTH - RIGHT}${ticks.map((pixel) => `M${fix(x(pixel))} ${bottom}v3`).join('')}" stroke="${INK}"/>`,
    ...ticks.map((pixel) =>
      label(x(pixel), bottom + 13, pixel === count && count > 1 ? 'end' : 'middle', String(pixel)),
    ),
    label(LEFT - 14, bottom + 13, 'end', 'pixel'),
  ];
}

function limitLine({ x, y }: Scale, { limits, volts }: VoltageCurve): string[] {
  const parts = limits.map((limit, index) => {
    const end = (limits[index + 1]?.first ?? volts.length + 1) - 1;
    return line(
      x(limit.first),
      y(limit.volts),
      x(Math.max(end, limit.first)),
      y(limit.volts),
      LIMIT,
      ' stroke-dasharray="5 3" stroke-width="1.3"',
    );
  });
  const [first, last] = [limits[0], limits.at(-1)];
  if (first === undefined || last === undefined) return parts;
  // The label stands above the line on whichever end the curve leaves more room.
  const room = (pixel: number, limit: number) => Math.abs(y(sure(volts[pixel - 1])) - (y(limit) - 6));
  const atRight = room(volts.length, last.volts) >= room(1, first.volts);
  const { volts: value } = atRight ? last : first;
  const text = `least ${trim(value)} V`;
  parts.push(label(atRight ? WIDTH - RIGHT : LEFT + 6, y(value) - 3, atRight ? 'end' : 'start', text, LIMIT));
  return parts;
}

function tapMarks({ x }: Scale, { taps }: VoltageCurve): string[] {
  const bottom = HEIGHT - BOTTOM;
  return taps.map(({ pixel }) => {
    const mark = `<path d="M${fix(x(pixel))} ${bottom - 1}l-4 -7h8z" fill="${CURVE}"/>`;
    return line(x(pixel), TOP, x(pixel), bottom - 8, CURVE, ' stroke-opacity="0.35"') + mark;
  });
}

/** The curve, and once more in thick what lies below the limit. */
function curvePaths(scale: Scale, { limits }: VoltageCurve, points: readonly Point[]): string[] {
  const { x, y } = scale;
  const draw = (run: readonly Point[], attributes: string) => {
    const first = sure(run[0]);
    if (run.length === 1)
      return `<circle cx="${fix(x(first.pixel))}" cy="${fix(y(first.volts))}" r="2.5" fill="${attributes.includes(LIMIT) ? LIMIT : CURVE}"/>`;
    return `<polyline points="${corners(scale, run).join(' ')}" fill="none"${attributes}/>`;
  };
  const parts = [draw(points, ` stroke="${CURVE}" stroke-width="1.6"`)];
  let low: Point[] = [];
  for (const point of points) {
    if (exceeds(limitAt(limits, point.pixel), point.volts)) low.push(point);
    else if (low.length > 0) {
      parts.push(draw(low, ` stroke="${LIMIT}" stroke-width="3.2" stroke-linecap="round"`));
      low = [];
    }
  }
  if (low.length > 0) parts.push(draw(low, ` stroke="${LIMIT}" stroke-width="3.2" stroke-linecap="round"`));
  return parts;
}

/**
 * The corners of a curve through all points, from left to right: what lies between two of them is no further above or
 * below the line than can be seen.
 */
function corners({ x, y }: Scale, points: readonly Point[]): string[] {
  let last = sure(points[0]);
  let [lastX, lastY] = [x(last.pixel), y(last.volts)];
  let [fromX, fromY] = [lastX, lastY];
  const found = [`${fix(fromX)},${fix(fromY)}`];
  let [least, most] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
  for (let index = 1; index < points.length; index++) {
    last = sure(points[index]);
    const [nextX, nextY] = [x(last.pixel), y(last.volts)];
    const slope = (nextY - fromY) / (nextX - fromX);
    if (!(slope >= least && slope <= most)) {
      found.push(`${fix(lastX)},${fix(lastY)}`);
      [fromX, fromY] = [lastX, lastY];
      [least, most] = [Number.NEGATIVE_INFINITY, Number.POSITIVE_INFINITY];
    }
    least = Math.max(least, (nextY - UNSEEN - fromY) / (nextX - fromX));
    most = Math.min(most, (nextY + UNSEEN - fromY) / (nextX - fromX));
    [lastX, lastY] = [nextX, nextY];
  }
  found.push(`${fix(lastX)},${fix(lastY)}`);
  return found;
}

function limitAt(limits: VoltageCurve['limits'], pixel: number): number {
  let found = Number.NEGATIVE_INFINITY;
  for (const limit of limits) if (limit.first <= pixel) found = limit.volts;
  return found;
}

function altText({ name, volts, limits, taps }: VoltageCurve): string {
  let least = 0;
  for (let index = 1; index < volts.length; index++) if (sure(volts[index]) < sure(volts[least])) least = index;
  const at = (index: number) => `${voltsText(sure(volts[index]))} at pixel ${index + 1}`;
  const needs = [...new Set(limits.map((limit) => `${trim(limit.volts)} V`))];
  const fed = taps
    .slice(0, 6)
    .map((tap) => tap.name)
    .join(', ');
  return [
    `Voltage along ${name}: ${at(0)}, least ${at(least)}, ${at(volts.length - 1)}`,
    needs.length === 0 ? '' : `; needs ${needs.join(' or ')}`,
    fed === '' ? '' : `; power comes in at ${fed}${taps.length > 6 ? ' and others' : ''}`,
    '.',
  ].join('');
}

/** 1, 2 or 5 times a power of ten, at least as large as a size. */
function niceStep(size: number): number {
  const power = 10 ** Math.floor(Math.log10(size));
  return [1, 2, 5].map((factor) => factor * power).find((step) => step >= size * (1 - 1e-9)) ?? 10 * power;
}

function line(x1: number, y1: number, x2: number, y2: number, stroke: string, more = ''): string {
  return `<line x1="${fix(x1)}" y1="${fix(y1)}" x2="${fix(x2)}" y2="${fix(y2)}" stroke="${stroke}"${more}/>`;
}

function label(x: number, y: number, anchor: 'start' | 'middle' | 'end', text: string, fill?: string): string {
  const colour = fill === undefined ? '' : ` fill="${fill}"`;
  return `<text x="${fix(x)}" y="${fix(y)}" text-anchor="${anchor}"${colour}>${escapeXml(text)}</text>`;
}

function fix(value: number): string {
  return String(Math.round(value * 10) / 10);
}

function trim(value: number): string {
  return String(Number(value.toFixed(2)));
}
