import type { LoadModel } from '../electrics/circuit.ts';
import { compileLoadCurve, curveAmps } from '../electrics/solve/load-curve.ts';
import { neededVolts } from '../model/null-pixels.ts';
import type { StringPiece } from '../model/plan.ts';

/** V that each pixel of a string must see; 0 where nothing is asked of it. */
export function leastVolts(piece: StringPiece): number {
  return neededVolts(piece) ?? 0;
}

/**
 * What a pixel draws at least, A, while it sees no less than its least voltage and no more than some other: what rises
 * with the voltage is taken at the least one, what falls (converters) at the other.
 */
export function leastAmps(model: LoadModel, scale: number, least: number, most: number): number {
  // The strings of a run are alike as a rule.
  const known = lastAsked.get(model);
  if (known !== undefined && known.scale === scale && known.least === least && known.most === most) return known.amps;
  const amps = computed(model, scale, least, most);
  lastAsked.set(model, { scale, least, most, amps });
  return amps;
}

interface Asked {
  readonly scale: number;
  readonly least: number;
  readonly most: number;
  readonly amps: number;
}

const lastAsked = new WeakMap<LoadModel, Asked>();

function computed(model: LoadModel, scale: number, least: number, most: number): number {
  const isConverter = ({ kind }: LoadModel['channels'][number]) => kind === 'converter';
  const falling = model.channels.filter(isConverter);
  const rising = { ...model, channels: model.channels.filter((channel) => !isConverter(channel)) };
  const held =
    falling.length === 0
      ? 0
      : curveAmps(compileLoadCurve({ ...model, quiescentAmps: 0, channels: falling }, scale), Math.max(most, least));
  return Math.max(0, curveAmps(compileLoadCurve(rising, scale), least) + held);
}
