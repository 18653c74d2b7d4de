/** Resistors in series as one row: found by a walk that follows the definition, and their nodes read off afterwards. */
import { expect, test } from 'vitest';
import type { Circuit, Resistor } from '#server/electrics/circuit.ts';
import { findSeries, spreadSeries } from '#server/electrics/solve/series.ts';
import { usableElements } from '#server/electrics/solve/usable.ts';
import { solve } from '#server/electrics/solve.ts';
import { circuitOf, constantAmps, ideal, solved } from '../../support/circuits.ts';
import { kirchhoffFaults } from '../../support/kirchhoff.ts';
import { seededRandom } from '../../support/random-circuit.ts';

/** Few nodes and many resistors, some onto themselves, some side by side, some unusable; now and then something else. */
function tangle(seed: number): Circuit {
  const random = seededRandom(seed);
  const whole = (most: number) => Math.floor(most * random());
  const nodeCount = 4 + whole(12);
  const resistors: Resistor[] = Array.from({ length: 1 + whole(14) }, () => {
    const a = whole(nodeCount);
    const b = random() < 0.7 ? (a + 1) % nodeCount : whole(nodeCount);
    return { a, b, ohms: random() < 0.1 ? 0 : 0.1 + random() };
  });
  const load = { positive: whole(nodeCount), negative: whole(nodeCount), model: constantAmps(0.1), scale: 1 };
  return circuitOf({
    nodeCount,
    resistors: resistors.map((r) => (random() < 0.5 ? r : { ...r, a: r.b, b: r.a })),
    sources: [{ ...ideal(0, 1, 12), ohms: 0.1 }],
    loads: random() < 0.5 ? [load] : [],
  });
}

test('rows end where anything else is, and nowhere before', () => {
  for (let seed = 1; seed <= 300; seed++) {
    const circuit = tangle(seed);
    const usable = usableElements(circuit)!;
    const { resistors } = circuit;
    const ends = (node: number) =>
      resistors.flatMap((r, id) => (usable.resistor[id] ? [r.a, r.b].filter((end) => end === node) : [])).length;
    const others = new Set([0, 1, ...circuit.loads.flatMap(({ positive, negative }) => [positive, negative])]);
    const onItself = new Set(resistors.filter(({ a, b }, id) => usable.resistor[id] && a === b).map(({ a }) => a));
    const isInner = (node: number) => ends(node) === 2 && !others.has(node) && !onItself.has(node);

    const { starts, members, rowOf, direction, circuit: rows } = findSeries(circuit, usable);
    const listed = [...members].sort((a, b) => a - b);
    expect(listed).toEqual([...resistors.keys()].filter((id) => usable.resistor[id] === 1));
    resistors.forEach((_, id) => expect(rowOf[id]! >= 0).toBe(usable.resistor[id] === 1));
    for (let row = 0; row < starts.length - 1; row++) {
      const own = [...members.slice(starts[row], starts[row + 1])];
      expect(own.length).toBeGreaterThan(0);
      const first = (id: number) => (direction[id]! > 0 ? resistors[id]!.a : resistors[id]!.b);
      const last = (id: number) => (direction[id]! > 0 ? resistors[id]!.b : resistors[id]!.a);
      own.forEach((id, i) => {
        expect(rowOf[id]).toBe(row);
        if (i === 0) return;
        expect(first(id), `seed ${seed}`).toBe(last(own[i - 1]!));
        expect(isInner(first(id)), `seed ${seed}`).toBe(true);
      });
      const [from, to] = [first(own[0]!), last(own.at(-1)!)];
      expect([rows.rows.a[row], rows.rows.b[row]]).toEqual([from, to]);
      expect(rows.rows.ohms[row]).toBeCloseTo(
        own.reduce((sum, id) => sum + resistors[id]!.ohms, 0),
        12,
      );
      // A row that goes on at neither end; only a ring that touches nothing else may be opened anywhere.
      if (from !== to) expect(isInner(from) || isInner(to), `seed ${seed}`).toBe(false);
    }
  }
});

test('the whole network obeys Kirchhoff, whatever was put in series', () => {
  for (let seed = 1; seed <= 300; seed++) {
    const circuit = tangle(seed);
    const solution = solve(circuit);
    if (solution.status !== 'solved') throw new Error(`seed ${seed}: ${solution.status}`);
    const usable = usableElements(circuit)!;
    const whole = { ...circuit, resistors: circuit.resistors.map((r) => (r.ohms > 0 ? r : { ...r, ohms: Infinity })) };
    expect(usable.resistor.length).toBe(circuit.resistors.length);
    expect(kirchhoffFaults(whole, solution, 1e-9), `seed ${seed}`).toEqual([]);
  }
});

test('a row that is cut: each side has the volts of its own end, and carries nothing', () => {
  // Five resistors in a row from the supply to its ground.
  const circuit = circuitOf({
    nodeCount: 6,
    sources: [ideal(0, 5, 10)],
    resistors: [0, 1, 2, 3, 4].map((i) => ({ a: i % 2 === 0 ? i : i + 1, b: i % 2 === 0 ? i + 1 : i, ohms: 1 })),
  });
  const series = findSeries(circuit, usableElements(circuit)!);
  expect(series.starts).toHaveLength(2);
  const whole = solved(circuit);
  const without = (...cut: number[]) => {
    const given = { ...whole, nodeVolts: Float64Array.of(10, -1, -1, -1, -1, 0), resistorAmps: Float64Array.of(0) };
    const { nodeVolts, resistorAmps } = spreadSeries(series, circuit, given, (id) => cut.includes(id));
    expect([...resistorAmps]).toEqual([0, 0, 0, 0, 0]);
    return [...nodeVolts];
  };
  expect(without(2)).toEqual([10, 10, 10, 0, 0, 0]);
  expect(without(0)).toEqual([10, 0, 0, 0, 0, 0]);
  expect(without(4)).toEqual([10, 10, 10, 10, 10, 0]);
  // Between two cuts nothing is known.
  expect(without(1, 3)).toEqual([10, 10, -1, -1, 0, 0]);
  // 2 A through all of them, against the grain in every other one.
  expect([...whole.resistorAmps].map((amps) => Math.round(amps * 1e4) / 1e4)).toEqual([2, -2, 2, -2, 2]);
  expect([...whole.nodeVolts].map((volts) => Math.round(volts * 1e4) / 1e4)).toEqual([10, 8, 6, 4, 2, 0]);
});

test('a node where so many resistors meet that their number has no room is the end of them all', () => {
  // Two more than a byte can count; each arm is two resistors in a row.
  const arms = 258;
  const circuit = circuitOf({
    nodeCount: 1 + 2 * arms,
    resistors: Array.from({ length: arms }, (_, i) => [
      { a: 0, b: 1 + i, ohms: 1 },
      { a: 1 + arms + i, b: 1 + i, ohms: 2 },
    ]).flat(),
    sources: [ideal(1 + arms, 2 + arms, 12)],
  });
  for (const turned of [circuit, { ...circuit, resistors: circuit.resistors.map((r) => ({ ...r, a: r.b, b: r.a })) }]) {
    const { circuit: rows } = findSeries(turned, usableElements(turned)!);
    expect(rows.rows.count).toBe(arms);
    rows.rows.ohms.forEach((ohms) => expect(ohms).toBe(3));
  }
});
