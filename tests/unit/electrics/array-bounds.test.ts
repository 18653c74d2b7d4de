/** No step of a solution reads or writes beside an array: nothing would come of it, and nobody would be told. */
import { expect, test } from 'vitest';
import { prepare } from '#server/electrics/prepare.ts';
import { expandStretch } from '#server/electrics/solve.ts';
import { withGuardedArrays } from '../../support/guarded-arrays.ts';
import { withIdleParts } from '../../support/idle-parts.ts';
import { type PixelKind, randomCircuit, seededRandom } from '../../support/random-circuit.ts';

const kinds: readonly PixelKind[] = ['regulated', 'knees', 'resistive', 'converter', 'mixed', 'chain'];

function run(seed: number, kind: PixelKind, longest: number): void {
  const random = seededRandom(seed);
  const circuit = withIdleParts(randomCircuit(seed, { kinds: [kind], mostPixels: longest, longest }).circuit);
  const prepared = prepare(circuit);
  const solution = prepared.solve();
  if (solution.status !== 'solved') throw new Error(`seed ${seed}: ${solution.status}`);
  circuit.stretches.forEach((_, id) => expandStretch(circuit, solution, id));
  const resistor = Math.floor(circuit.resistors.length * random());
  prepared.solveWithout({ resistors: [resistor] }, seed % 2 === 0 ? 0.01 : 0);
  prepared.solveWithout({ sources: [1] });
  prepared.solveWithout({ resistors: [resistor, 0, 5], sources: [0, 1] });
  const other = {
    ...circuit,
    stretches: circuit.stretches.map((stretch) => ({ ...stretch, scale: 0.9 * stretch.scale })),
  };
  prepared.solveWith(other);
}

test.each(kinds)('%s pixels: networks of all kinds', (kind) => {
  withGuardedArrays(() => {
    for (let seed = 1; seed <= 6; seed++) run(seed, kind, 20);
  });
});

test.each(kinds)('%s pixels: a long stretch', (kind) => {
  withGuardedArrays(() => run(7, kind, 90));
});

test('the guards do guard', () => {
  const array = (work: (values: Int32Array) => void) => () => {
    withGuardedArrays(() => work(new Int32Array(3)));
  };
  expect(array((values) => values.fill(1))).not.toThrow();
  expect(array((values) => values[3])).toThrow('place 3 of 3');
  expect(array((values) => values.subarray(1)[2])).toThrow('place 2 of 2');
  expect(array((values) => values.subarray(2, 4))).toThrow('2 to 4 of 3');
  expect(array((values) => values.slice(1)[-1])).toThrow('place -1 of 2');
  expect(array((values) => values.set([1, 2, 3, 4]))).toThrow();
  expect(
    array((values) => {
      values[1] = 0.5;
    }),
  ).toThrow('0.5 at 1');
});
