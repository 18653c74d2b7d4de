/** Each step of the quick order against the rules that it promises to follow, on plain sets. */
import { expect, test } from 'vitest';
import { minimumDegreeOrder } from '#server/electrics/solve/minimum-degree.ts';
import { type Graph, graphOf, listsOf } from '../../support/fill.ts';
import { faultsOf } from '../../support/least-degree-replay.ts';
import { seededRandom } from '../../support/random-circuit.ts';

type Edge = readonly [number, number];

function expectLeast(graph: Graph, what: string): void {
  const { starts, neighbours } = listsOf(graph);
  expect(faultsOf(graph, minimumDegreeOrder(graph.length, starts, neighbours)), what).toEqual([]);
}

test('graphs of every density take a vertex of least degree in each step', () => {
  const random = seededRandom(61);
  for (let round = 0; round < 150; round++) {
    const n = Math.floor(50 * random());
    const edges = Array.from({ length: Math.floor(3 * n * random()) }, (): Edge => {
      const a = Math.floor(n * random());
      // Some graphs are bands, which have many vertices with the same neighbours.
      return [a, round % 3 === 0 ? Math.min(n - 1, a + 1 + Math.floor(3 * random())) : Math.floor(n * random())];
    });
    expectLeast(graphOf(n, edges), `round ${round}`);
  }
});

test('ladders, grids and parts that are joined each to each', () => {
  const random = seededRandom(62);
  for (const [width, height] of [
    [2, 40],
    [7, 7],
    [12, 5],
  ] as const) {
    const at = (x: number, y: number) => (x < width && y < height ? y * width + x : -1);
    const edges = Array.from({ length: width * height }, (_, i): Edge[] => {
      const [x, y] = [i % width, Math.floor(i / width)];
      return [
        [i, at(x + 1, y)],
        [i, at(x, y + 1)],
        [i, at(x + 1, y + 1)],
      ];
    });
    expectLeast(graphOf(width * height, edges.flat()), `${width} by ${height}`);
  }
  for (let round = 0; round < 20; round++) {
    const n = 40;
    const edges: Edge[] = [];
    for (let part = 0; part < 6; part++) {
      const own = Array.from({ length: 3 + Math.floor(6 * random()) }, () => Math.floor(n * random()));
      for (const a of own) for (const b of own) edges.push([a, b]);
    }
    expectLeast(graphOf(n, edges), `round ${round}`);
  }
});

test('vertices with more than ten times the root of all as neighbours come last, the least of them first', () => {
  // 400 vertices: 200 neighbours are not too many, 201 and more are.
  for (const sizes of [[200], [201], [230, 201, 300], [300, 201, 201, 200]]) {
    const edges = sizes.flatMap((size, hub) => Array.from({ length: size }, (_, i): Edge => [hub, 399 - i]));
    const ring = Array.from({ length: 100 }, (_, i): Edge => [10 + i, 10 + ((i * 7) % 100)]);
    expectLeast(graphOf(400, [...edges, ...ring]), String(sizes));
  }
});
