/**
 * A load's current against its own voltage, compiled to pieces.
 *
 * Every channel of a model is, between its own break points, a polynomial of at most third degree, or watts / u.
 * So is their sum: one piece costs one cubic, however many channels there are.
 */
import type { LoadChannel, LoadModel } from '../circuit.ts';

/**
 * Piece j holds from `from[j]` to `from[j + 1]`, with x = u - from[j]:
 * I(u) = c0 + c1 x + c2 x^2 + c3 x^3 + watts / u, A; its five numbers stand at `terms[5 j]`.
 * Piece 0 begins at 0 V; at and below 0 V a load draws nothing.
 */
export interface LoadCurve {
  readonly from: Float64Array;
  readonly terms: Float64Array;
  /** From this voltage on the current is `fullAmps`, constant. Infinity: never; -Infinity: it is 0 A everywhere. */
  readonly regulatedVolts: number;
  readonly fullAmps: number;
  /** In the middle of the knees, where the current changes fastest, or where other loads begin: where to start from. */
  readonly middleVolts: number;
  /** False when the current falls somewhere as the voltage rises (a converter): more than one state may exist. */
  readonly isMonotone: boolean;
  /** The largest slope anywhere, S; without the pieces of falling loads. */
  readonly steepest: number;
  /**
   * By piece: the largest second derivative of the current from there on upwards, A / V^2. Infinity where the slope
   * jumps: there Newton's error is no longer as its square.
   */
  readonly bends: Float64Array;
}

/** The numbers of one piece, in the order of `LoadCurve.terms`. */
export const pieceSize = 5;

/**
 * Compiles a model, its channels' currents multiplied by `scale`. The model must have passed validation. Models are shared
 * by many elements of many circuits: each is compiled once, and once for each of the scales that came up last.
 */
export function compileLoadCurve(model: LoadModel, scale: number): LoadCurve {
  let known = COMPILED.get(model);
  if (known === undefined) {
    known = { compiled: compileModel(model), byScale: new Map() };
    COMPILED.set(model, known);
  }
  const { compiled, byScale } = known;
  let curve = byScale.get(scale);
  if (curve === undefined) {
    if (byScale.size >= MOST_SCALES) byScale.clear();
    curve = scaleCurve(compiled, scale);
    byScale.set(scale, curve);
  }
  return curve;
}

interface Compiled {
  readonly compiled: CompiledModel;
  readonly byScale: Map<number, LoadCurve>;
}

const COMPILED = new WeakMap<LoadModel, Compiled>();
/** A display has one brightness, and two more at the corners of its tolerances. */
const MOST_SCALES = 16;

/** A model's pieces with the part that a look scales and the part that it does not. */
interface CompiledModel {
  readonly from: Float64Array;
  readonly quiescent: Float64Array;
  readonly channels: Float64Array;
  readonly middleVolts: number;
  readonly isMonotone: boolean;
  /** The same without any channel in use. */
  readonly dark: LoadCurve;
}

/** The part of the work that all scales share. */
function compileModel(model: LoadModel): CompiledModel {
  const channels = model.channels.filter(drawsCurrent);
  const quiescentBreaks = model.quiescentAmps > 0 ? [0, model.quiescentVolts] : [0];
  const from = Float64Array.from(new Set([...quiescentBreaks, ...channels.flatMap(channelBreaks)])).sort();
  const quiescent = addUp(from, (start, piece) => addQuiescent(model, start, piece));
  const scaled = addUp(from, (start, piece) => {
    for (const channel of channels) addChannel(channel, start, piece);
  });
  const darkFrom = Float64Array.from(quiescentBreaks);
  return {
    from,
    quiescent,
    channels: scaled,
    middleVolts: middleOf(channels),
    isMonotone: channels.every((channel) => channel.kind !== 'converter'),
    dark: curveOf(
      darkFrom,
      addUp(darkFrom, (start, piece) => addQuiescent(model, start, piece)),
      0,
      true,
    ),
  };
}

/** Between the lowest foot and the highest knee; without knees, at the foot of the lowest lockout or forward voltage. */
function middleOf(channels: readonly LoadChannel[]): number {
  const knees = channels.flatMap((channel) => (channel.kind === 'regulated' ? channelBreaks(channel) : []));
  if (knees.length > 0) return (Math.min(...knees) + Math.max(...knees)) / 2;
  return Math.max(0, Math.min(...channels.map((channel) => channelBreaks(channel)[0])));
}

/** The curve of a compiled model, its channels' currents multiplied by `scale`. */
function scaleCurve(compiled: CompiledModel, scale: number): LoadCurve {
  const { from, quiescent, channels, middleVolts, isMonotone, dark } = compiled;
  if (!(scale > 0)) return dark;
  const terms = new Float64Array(quiescent.length);
  for (let t = 0; t < terms.length; t++) terms[t] = quiescent[t] + scale * channels[t];
  return curveOf(from, terms, middleVolts, isMonotone);
}

function curveOf(from: Float64Array, terms: Float64Array, middleVolts: number, isMonotone: boolean): LoadCurve {
  const last = terms.length - pieceSize;
  const isFlat = terms[last + 1] === 0 && terms[last + 2] === 0 && terms[last + 3] === 0 && terms[last + 4] === 0;
  const flatFrom = from.length > 1 ? from[from.length - 1] : -Infinity;
  const regulatedVolts = isFlat ? flatFrom : Infinity;
  const fullAmps = isFlat ? terms[last] : 0;
  return { from, terms, regulatedVolts, fullAmps, middleVolts, isMonotone, ...derivatives(from, terms) };
}

/** See `steepest` and `bends` of `LoadCurve`. The last piece is a constant, a straight line or watts / u. */
function derivatives(from: Float64Array, terms: Float64Array): Pick<LoadCurve, 'steepest' | 'bends'> {
  const bends = new Float64Array(from.length);
  let steepest = 0;
  let bend = 0;
  for (let j = from.length - 1; j >= 0; j--) {
    const t = j * pieceSize;
    const length = j + 1 < from.length ? from[j + 1] - from[j] : 0;
    const slopeAt = (x: number) => terms[t + 1] + x * (2 * terms[t + 2] + x * 3 * terms[t + 3]);
    // The slope is a parabola: it is largest at either end or at its vertex.
    const vertex = Math.min(Math.max(-terms[t + 2] / (3 * terms[t + 3]) || 0, 0), length);
    steepest = Math.max(steepest, slopeAt(0), slopeAt(length), slopeAt(vertex));
    const jump = length > 0 ? Math.abs(slopeAt(length) - terms[t + pieceSize + 1]) : 0;
    const isSmooth = terms[t + 4] === 0 && jump <= 1e-9 * steepest;
    const own = Math.max(Math.abs(2 * terms[t + 2]), Math.abs(2 * terms[t + 2] + 6 * terms[t + 3] * length));
    bend = isSmooth ? Math.max(bend, own) : Infinity;
    bends[j] = bend;
  }
  return { steepest, bends };
}

/** The numbers of all pieces, each filled by `add` for the break point at which it begins. */
function addUp(from: Float64Array, add: (start: number, piece: Float64Array) => void): Float64Array {
  const terms = new Float64Array(from.length * pieceSize);
  from.forEach((start, j) => {
    add(start, terms.subarray(j * pieceSize, (j + 1) * pieceSize));
  });
  return terms;
}

/** Current at a voltage, A. */
export function curveAmps(curve: LoadCurve, volts: number): number {
  if (!(volts > 0)) return 0;
  const j = pieceAt(curve, volts);
  const { terms } = curve;
  const x = volts - curve.from[j];
  const t = j * pieceSize;
  return terms[t] + x * (terms[t + 1] + x * (terms[t + 2] + x * terms[t + 3])) + terms[t + 4] / volts;
}

/** Slope of the current at a voltage, S; at a break point, the slope above it. */
export function curveSlope(curve: LoadCurve, volts: number): number {
  if (!(volts >= 0)) return 0;
  const j = pieceAt(curve, volts);
  const { terms } = curve;
  const x = volts - curve.from[j];
  const t = j * pieceSize;
  const watts = terms[t + 4];
  const slope = terms[t + 1] + x * (2 * terms[t + 2] + x * 3 * terms[t + 3]);
  return watts > 0 ? slope - watts / (volts * volts) : slope;
}

/** The largest second derivative of the current at these volts and above, A / V^2 (see `LoadCurve.bends`). */
export function bendFrom(curve: LoadCurve, volts: number): number {
  return volts > 0 ? curve.bends[pieceAt(curve, volts)] : Infinity;
}

function pieceAt(curve: LoadCurve, volts: number): number {
  let j = curve.from.length - 1;
  while (j > 0 && volts < curve.from[j]) j--;
  return j;
}

function drawsCurrent(channel: LoadChannel): boolean {
  switch (channel.kind) {
    case 'regulated':
      return channel.amps > 0;
    case 'resistive':
      return true;
    case 'converter':
      return channel.watts > 0;
  }
}

function channelBreaks(channel: LoadChannel): number[] {
  switch (channel.kind) {
    case 'regulated':
      return [channel.zeroVolts, channel.kneeVolts];
    case 'resistive':
      return [channel.forwardVolts];
    case 'converter':
      return [lockoutEnd * channel.lockoutVolts, channel.lockoutVolts];
  }
}

/** A converter is off below this share of its lockout voltage. */
const lockoutEnd = 0.9;

function addQuiescent(model: LoadModel, start: number, piece: Float64Array): void {
  if (!(model.quiescentAmps > 0)) return;
  if (start >= model.quiescentVolts) piece[0] += model.quiescentAmps;
  else addLine(piece, start, 0, model.quiescentAmps / model.quiescentVolts);
}

/** Adds the channel's Taylor expansion about `start`, exact up to the next break point. */
function addChannel(channel: LoadChannel, start: number, piece: Float64Array): void {
  switch (channel.kind) {
    case 'regulated': {
      const { amps, zeroVolts, kneeVolts } = channel;
      if (start >= kneeVolts) piece[0] += amps;
      else if (start >= zeroVolts) addKnee(piece, start, zeroVolts, kneeVolts, amps);
      return;
    }
    case 'resistive':
      if (start >= channel.forwardVolts) addLine(piece, start, channel.forwardVolts, 1 / channel.ohms);
      return;
    case 'converter': {
      const { watts, lockoutVolts } = channel;
      const off = lockoutEnd * lockoutVolts;
      if (start >= lockoutVolts) piece[4] += watts;
      else if (start >= off) addLine(piece, start, off, watts / lockoutVolts / (lockoutVolts - off));
      return;
    }
  }
}

/** Adds slope * (u - foot). */
function addLine(piece: Float64Array, start: number, foot: number, slope: number): void {
  piece[0] += slope * (start - foot);
  piece[1] += slope;
}

/** Adds amps * t^2 (3 - 2 t), t = (u - zero) / (knee - zero). */
function addKnee(piece: Float64Array, start: number, zero: number, knee: number, amps: number): void {
  const width = knee - zero;
  const t = (start - zero) / width;
  piece[0] += amps * t * t * (3 - 2 * t);
  piece[1] += (amps * 6 * t * (1 - t)) / width;
  piece[2] += (amps * (3 - 6 * t)) / (width * width);
  piece[3] -= (amps * 2) / (width * width * width);
}
