/**
 * How much the elimination fills: as little as in the order of exact minimum degree, found the slow way. The paper that
 * the quick way comes from (Amestoy, Davis, Duff 1996) reports the same: on average it fills no more than the exact one.
 */
import { describe, expect, test } from 'vitest';
import { eliminationOrder } from '#server/electrics/solve/elimination-order.ts';
import { minimumDegreeOrder } from '#server/electrics/solve/minimum-degree.ts';
import { fillOf, type Graph, graphOf, leastDegreeFill, listsOf } from '../../support/fill.ts';
import { networkOf } from '../../support/networks.ts';
import { randomCircuit, seededRandom } from '../../support/random-circuit.ts';

/** Fill in the quick order over fill in the exact one, of all graphs together. */
function ratio(graphs: readonly Graph[]): number {
  let [quick, exact] = [0, 0];
  for (const graph of graphs) {
    const { starts, neighbours } = listsOf(graph);
    const order = minimumDegreeOrder(graph.length, starts, neighbours);
    expect([...order].sort((a, b) => a - b)).toEqual([...graph.keys()]);
    quick += fillOf(graph, order);
    exact += leastDegreeFill(graph);
  }
  return quick / exact;
}

function grid(width: number, height: number): Graph {
  const at = (x: number, y: number) => (x < width && y < height ? y * width + x : -1);
  const places = Array.from({ length: width * height }, (_, i) => [i % width, Math.floor(i / width)] as const);
  const edges = places.flatMap(([x, y]) => [[at(x, y), at(x + 1, y)] as const, [at(x, y), at(x, y + 1)] as const]);
  return graphOf(width * height, edges);
}

function randomGraph(random: () => number, n: number, edges: number): Graph {
  const pick = () => Math.floor(n * random());
  return graphOf(
    n,
    Array.from({ length: edges }, () => [pick(), pick()] as const),
  );
}

test('grids', () => {
  const sizes = [
    [5, 5],
    [9, 9],
    [13, 9],
    [16, 16],
    [30, 8],
  ] as const;
  expect(ratio(sizes.map(([w, h]) => grid(w, h)))).toBeLessThan(1.02);
});

test.each([1.2, 1.5, 2, 3, 5])('random graphs with %f edges for each vertex', (density) => {
  const random = seededRandom(17);
  const graphs = Array.from({ length: 20 }, () => randomGraph(random, 60, density * 60));
  expect(ratio(graphs)).toBeLessThan(1.02);
});

test('a graph that fills so much that its lists need new room', () => {
  const random = seededRandom(19);
  expect(ratio([randomGraph(random, 300, 1200), randomGraph(random, 500, 1000)])).toBeLessThan(1.03);
});

test('a few vertices that are joined to nearly all others come last', () => {
  const random = seededRandom(18);
  const n = 400;
  for (let round = 0; round < 5; round++) {
    const hubs = [3, 77, 200].slice(0, 1 + (round % 3));
    const edges = Array.from({ length: n }, (_, i) => hubs.map((hub) => [hub, i] as const)).flat();
    const chain = Array.from({ length: n - 1 }, (_, i) => [i, i + 1] as const);
    const some = chain.filter(() => random() < 0.7);
    const { starts, neighbours } = listsOf(graphOf(n, [...edges, ...some]));
    const order = [...minimumDegreeOrder(n, starts, neighbours)];
    // Each has more than ten times the root of 400, 200, neighbours.
    expect(order.slice(-hubs.length).sort((a, b) => a - b)).toEqual(hubs);
  }
});

test('the networks of displays', () => {
  let [own, exact] = [0, 0];
  for (let seed = 1; seed <= 40; seed++) {
    const { circuit } = randomCircuit(seed, { mostPixels: 300, longest: 20 });
    const { n, starts, others } = networkOf(circuit).structure.ldl;
    const graph = graphOf(n, edgesOf(n, starts, others));
    own += fillOf(graph, graph.keys());
    exact += leastDegreeFill(graph);
  }
  // The two sides of a pixel are kept together, which costs a little.
  expect(own / exact).toBeLessThan(1.1);
});

function* edgesOf(n: number, starts: Int32Array, others: Int32Array): Iterable<readonly [number, number]> {
  for (let k = 0; k < n; k++)
    for (let p = starts[k]!; p < starts[k + 1]!; p++) yield [k, others[p]! < n ? others[p]! : -1];
}

describe('a ladder whose joints are numbered anyhow', () => {
  test.each([1, 2, 3, 4])('seed %i', (seed) => {
    const random = seededRandom(seed);
    const joints = 60;
    const names = Array.from({ length: 2 * joints }, (_, i) => i);
    for (let i = names.length - 1; i > 0; i--) {
      const j = Math.floor((i + 1) * random());
      [names[i], names[j]] = [names[j]!, names[i]!];
    }
    const branches: number[] = [];
    const mates: number[] = [];
    for (let i = 0; i < joints; i++) {
      const [p, q] = [names[2 * i]!, names[2 * i + 1]!];
      branches.push(p, q);
      mates.push(p, q);
      if (i === 0) continue;
      const [p0, q0] = [names[2 * i - 2]!, names[2 * i - 1]!];
      // The six branches of a stretch.
      branches.push(p0, q0, p, q, p0, p, q0, q, p0, q, q0, p);
    }
    const rows = eliminationOrder(2 * joints, Int32Array.from(branches), Int32Array.from(mates));
    const edges = Array.from({ length: branches.length / 2 }, (_, e) => {
      return [rows[branches[2 * e]!]!, rows[branches[2 * e + 1]!]!] as const;
    });
    const graph = graphOf(2 * joints, edges);
    // From the ends inwards p has its own q and the next joint's two below it, q the next joint's two: 5 for each joint
    // but the last, which has 1. In any order of the joints it is no less.
    expect(fillOf(graph, graph.keys())).toBe(5 * (joints - 1) + 1);
  });
});
