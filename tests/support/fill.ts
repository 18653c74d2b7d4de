/** Elimination on plain sets, by the definition: the neighbours of what is eliminated become neighbours of each other. */

export type Graph = readonly ReadonlySet<number>[];

/** A graph of n vertices from its edges; -1 stands for none. */
export function graphOf(n: number, edges: Iterable<readonly [number, number]>): Graph {
  const graph = Array.from({ length: n }, () => new Set<number>());
  for (const [a, b] of edges) {
    if (a === b || a < 0 || b < 0) continue;
    graph[a]!.add(b);
    graph[b]!.add(a);
  }
  return graph;
}

function eliminate(graph: readonly Set<number>[], i: number): number {
  const around = [...graph[i]!];
  for (const a of around) {
    graph[a]!.delete(i);
    for (const b of around) if (a !== b) graph[a]!.add(b);
  }
  return around.length;
}

/** Numbers below the diagonal of L when the vertices are eliminated in this order. */
export function fillOf(sets: Graph, order: Iterable<number>): number {
  const graph = sets.map((set) => new Set(set));
  let count = 0;
  for (const i of order) count += eliminate(graph, i);
  return count;
}

/** The same for the order of exact minimum degree, which looks at all vertices each time. */
export function leastDegreeFill(sets: Graph): number {
  const graph = sets.map((set) => new Set(set));
  const left = new Set(sets.keys());
  let count = 0;
  while (left.size > 0) {
    let best = -1;
    for (const i of left) if (best < 0 || graph[i]!.size < graph[best]!.size) best = i;
    left.delete(best);
    count += eliminate(graph, best);
  }
  return count;
}

/** Adjacency lists as the orders take them. */
export function listsOf(graph: Graph): { starts: Int32Array; neighbours: Int32Array } {
  const starts = new Int32Array(graph.length + 1);
  graph.forEach((set, i) => {
    starts[i + 1] = starts[i]! + set.size;
  });
  return { starts, neighbours: Int32Array.from(graph.flatMap((set) => [...set])) };
}
