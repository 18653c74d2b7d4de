/** A cut costs its neighbourhood: in a network four times as large hardly more places are read and written. */
import { expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { solveCut } from '#server/electrics/solve/cut.ts';
import { describe as describeNetwork } from '#server/electrics/solve/describe.ts';
import { settle } from '#server/electrics/solve/settle.ts';
import { circuitOf, kneeAmps } from '../../support/circuits.ts';
import { withGuardedArrays } from '../../support/guarded-arrays.ts';
import { networkOf } from '../../support/networks.ts';

/** Supplies with a stretch each, fed at both ends; the grounds branch out from the first to the last like a tree. */
function tree(parts: number): Circuit {
  const nodes = 6;
  const own = Array.from({ length: parts }, (_, i) => nodes * i);
  return circuitOf({
    nodeCount: nodes * parts,
    sources: own.map((at) => ({ positive: at, negative: at + 1, volts: 12, ohms: 0.01, maxAmps: 50 })),
    resistors: own.flatMap((at, i) => [
      { a: at, b: at + 2, ohms: 0.05 },
      { a: at, b: at + 4, ohms: 0.05 },
      { a: at + 1, b: at + 3, ohms: 0.05 },
      { a: at + 1, b: at + 5, ohms: 0.05 },
      ...(i > 0 ? [{ a: at + 1, b: nodes * ((i - 1) >> 1) + 1, ohms: 0.02 }] : []),
    ]),
    stretches: own.map((at) => ({
      positiveStart: at + 2,
      negativeStart: at + 3,
      positiveEnd: at + 4,
      negativeEnd: at + 5,
      count: 40,
      positiveOhms: 0.02,
      negativeOhms: 0.02,
      model: kneeAmps(0.05, 9.5, 11),
      scale: 1,
    })),
  });
}

/** Places read and written for the first solution, and for one cut at the last. */
function costs(parts: number, precision: number): { whole: number; cut: number } {
  const found = { whole: 0, cut: 0 };
  withGuardedArrays((uses) => {
    const network = networkOf(tree(parts));
    let from = uses();
    const { iterations } = settle(network);
    found.whole = uses() - from;
    const base = describeNetwork(network, iterations);
    network.active.clear();
    network.structure.atNodes();
    from = uses();
    solveCut(network, base, { resistors: [5 * parts - 5] }, precision);
    found.cut = uses() - from;
  });
  return found;
}

test('a network of 63 parts beside one of 15', () => {
  const [few, many] = [costs(15, 1e-3), costs(63, 1e-3)];
  // Every round visits every part.
  expect(many.whole / few.whole).toBeLessThan(1.1 * (63 / 15));
  // Six levels of grounds above the last part instead of four, on top of what its own six joints and 40 pixels cost.
  expect(many.cut / few.cut).toBeLessThan(1.15);
  expect(few.cut).toBeLessThan(few.whole / 4);
});
