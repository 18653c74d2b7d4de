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
  /** In the middle of the knees, where the current changes fastest: a good place to start Newton's method. */
  readonly middleVolts: number;
  /** False when the current falls somewhere as the voltage rises (a converter): more than one state may exist. */
  readonly isMonotone: boolean;
}

/** The numbers of one piece, in the order of `LoadCurve.terms`. */
export const pieceSize = 5;

/** Compiles a model, its channels' currents multiplied by `scale`. The model must have passed validation. */
export function compileLoadCurve(model: LoadModel, scale: number): LoadCurve {
  const channels = scale > 0 ? model.channels.filter(drawsCurrent) : [];
  const breaks = new Set<number>([0]);
  if (model.quiescentAmps > 0) breaks.add(model.quiescentVolts);
  for (const channel of channels) for (const volts of channelBreaks(channel)) breaks.add(volts);
  const from = Float64Array.from(breaks).sort();

  const terms = new Float64Array(from.length * pieceSize);
  for (let j = 0; j < from.length; j++) {
    const piece = terms.subarray(j * pieceSize, (j + 1) * pieceSize);
    addQuiescent(model, from[j], piece);
    for (const channel of channels) addChannel(channel, scale, from[j], piece);
  }
  const last = terms.subarray(-pieceSize);
  const isFlat = last[1] === 0 && last[2] === 0 && last[3] === 0 && last[4] === 0;
  const knees = channels.flatMap((channel) => (channel.kind === 'regulated' ? channelBreaks(channel) : []));
  const flatFrom = from.length > 1 ? from[from.length - 1] : -Infinity;
  return {
    from,
    terms,
    regulatedVolts: isFlat ? flatFrom : Infinity,
    fullAmps: isFlat ? last[0] : 0,
    middleVolts: knees.length > 0 ? (Math.min(...knees) + Math.max(...knees)) / 2 : from[from.length - 1] / 2,
    isMonotone: channels.every((channel) => channel.kind !== 'converter'),
  };
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
function addChannel(channel: LoadChannel, scale: number, start: number, piece: Float64Array): void {
  switch (channel.kind) {
    case 'regulated': {
      const amps = channel.amps * scale;
      if (start >= channel.kneeVolts) piece[0] += amps;
      else if (start >= channel.zeroVolts) addKnee(piece, start, channel.zeroVolts, channel.kneeVolts, amps);
      return;
    }
    case 'resistive':
      if (start >= channel.forwardVolts) addLine(piece, start, channel.forwardVolts, scale / channel.ohms);
      return;
    case 'converter': {
      const watts = channel.watts * scale;
      const { lockoutVolts } = channel;
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
