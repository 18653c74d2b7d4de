/** One stretch between two given voltages, solved by a plain Newton sweep over every pixel. */
import { curveAmps, curveSlope, type LoadCurve } from '#server/electrics/solve/load-curve.ts';

/** u[0 .. N]: Newton's method on -u[k-1] + 2 u[k] - u[k+1] + r I(u[k]) = 0, halved until the residual falls. */
export function swept(curve: LoadCurve, count: number, ohms: number, start: number, end: number): Float64Array {
  const u = Float64Array.from({ length: count + 1 }, (_, k) => start + ((end - start) * k) / count);
  const excess = (v: Float64Array, k: number) => 2 * v[k]! - v[k - 1]! - v[k + 1]! + ohms * curveAmps(curve, v[k]!);
  const size = (v: Float64Array) => {
    let sum = 0;
    for (let k = 1; k < count; k++) sum += excess(v, k) ** 2;
    return sum;
  };
  for (let round = 0; round < 400; round++) {
    const pivot = new Float64Array(count + 1);
    const right = new Float64Array(count + 1);
    for (let k = 1; k < count; k++) {
      pivot[k] = 2 + ohms * curveSlope(curve, u[k]!) - (k > 1 ? 1 / pivot[k - 1]! : 0);
      right[k] = -excess(u, k) + (k > 1 ? right[k - 1]! / pivot[k - 1]! : 0);
    }
    const step = new Float64Array(count + 1);
    for (let k = count - 1; k > 0; k--) step[k] = (right[k]! + step[k + 1]!) / pivot[k]!;
    let share = 1;
    const before = size(u);
    const trial = () => u.map((v, k) => v + share * step[k]!);
    while (share > 1e-6 && size(trial()) > before) share /= 2;
    const largest = step.reduce((most, v) => Math.max(most, Math.abs(v)), 0);
    if (largest < 1e-13 * Math.max(start, end) || (largest < 1e-9 && share < 1)) return u;
    u.set(trial());
  }
  throw new Error('the plain sweep did not settle');
}
