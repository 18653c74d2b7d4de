import type { LoadModel } from '../electrics/circuit.ts';
import { compileLoadCurve, curveAmps } from '../electrics/solve/load-curve.ts';
import { isNull } from '../model/null-pixels.ts';
import type { StringPiece } from '../model/plan.ts';

/** V that each pixel of a string must see; undefined where nothing is asked of it. A null pixel never lights. */
export function leastVolts(piece: StringPiece): number | undefined {
  return isNull(piece.line) ? undefined : piece.part.least?.value;
}

/**
 * What a pixel draws at least, A, while it sees no less than its least voltage and no more than some other: what rises
 * with the voltage is taken at the least one, what falls (converters) at the other.
 */
export function leastAmps(model: LoadModel, scale: number, least: number | undefined, most: number): number {
  if (least === undefined) return 0;
  const isConverter = ({ kind }: LoadModel['channels'][number]) => kind === 'converter';
  const falling = model.channels.filter(isConverter);
  const rising = { ...model, channels: model.channels.filter((channel) => !isConverter(channel)) };
  const held =
    falling.length === 0
      ? 0
      : curveAmps(compileLoadCurve({ ...model, quiescentAmps: 0, channels: falling }, scale), Math.max(most, least));
  return Math.max(0, curveAmps(compileLoadCurve(rising, scale), least) + held);
}
