/** The joint equations of a circuit: who is an unknown, in which order, and where each element writes its numbers. */
import type { Circuit } from '../circuit.ts';
import type { Islands } from './islands.ts';
import type { LdlStructure } from './ldl.ts';
import { analyseLdl } from './ldl.ts';
import { minimumDegreeOrder } from './minimum-degree.ts';
import type { Usable } from './usable.ts';

/**
 * Every element is a set of two-terminal conductances, its *branches*: one for each resistor, source and load (in that
 * order), six for each stretch, one for each pair of its four terminals.
 */
export interface JointStructure {
  /** Row of each node in elimination order, or -1 (reference, dead). */
  readonly rowOf: Int32Array;
  readonly nodeOf: Int32Array;
  readonly ldl: LdlStructure;
  /** Per branch: its two rows, `ldl.n` where the terminal is no unknown, and its place in the upper part of A. */
  readonly branchA: Int32Array;
  readonly branchB: Int32Array;
  /** `ldl.rows.length` where there is none. */
  readonly branchUpper: Int32Array;
  /** The first branch of each kind. */
  readonly firstSource: number;
  readonly firstLoad: number;
  readonly firstStretch: number;
}

/** The terminal pairs of a stretch, in the order of its branches. */
const stretchPairs = [
  ['positiveStart', 'negativeStart'],
  ['positiveEnd', 'negativeEnd'],
  ['positiveStart', 'positiveEnd'],
  ['negativeStart', 'negativeEnd'],
  ['positiveStart', 'negativeEnd'],
  ['negativeStart', 'positiveEnd'],
] as const;

export function buildStructure(circuit: Circuit, usable: Usable, islands: Islands): JointStructure {
  const { nodeCount, resistors, sources, loads, stretches } = circuit;
  const { dead, isReference } = islands;
  const firstSource = resistors.length;
  const firstLoad = firstSource + sources.length;
  const firstStretch = firstLoad + loads.length;
  const branchCount = firstStretch + stretchPairs.length * stretches.length;
  const branchA = new Int32Array(branchCount).fill(-1);
  const branchB = new Int32Array(branchCount).fill(-1);

  const unknown = new Int32Array(nodeCount);
  let n = 0;
  for (let node = 0; node < nodeCount; node++) unknown[node] = dead[node] || isReference[node] ? -1 : n++;
  const connect = (branch: number, a: number, b: number) => {
    if (a === b) return;
    branchA[branch] = unknown[a];
    branchB[branch] = unknown[b];
  };
  resistors.forEach(({ a, b }, id) => usable.resistor[id] && connect(id, a, b));
  sources.forEach((s, id) => usable.source[id] && connect(firstSource + id, s.positive, s.negative));
  loads.forEach((l, id) => usable.load[id] && connect(firstLoad + id, l.positive, l.negative));
  stretches.forEach((stretch, id) => {
    if (!usable.stretch[id]) return;
    let branch = firstStretch + stretchPairs.length * id;
    for (const [a, b] of stretchPairs) connect(branch++, stretch[a], stretch[b]);
  });

  const graph = adjacency(n, branchA, branchB);
  const order = minimumDegreeOrder(n, graph.starts, graph.neighbours);
  const rank = new Int32Array(n);
  for (let k = 0; k < n; k++) rank[order[k]] = k;
  const upper = upperPart(n, graph, order, rank);
  for (let branch = 0; branch < branchCount; branch++) {
    branchA[branch] = branchA[branch] < 0 ? n : rank[branchA[branch]];
    branchB[branch] = branchB[branch] < 0 ? n : rank[branchB[branch]];
  }
  const rowOf = new Int32Array(nodeCount).fill(-1);
  const nodeOf = new Int32Array(n);
  for (let node = 0; node < nodeCount; node++) {
    if (unknown[node] < 0) continue;
    rowOf[node] = rank[unknown[node]];
    nodeOf[rowOf[node]] = node;
  }
  return {
    rowOf,
    nodeOf,
    ldl: analyseLdl(n, upper.starts, upper.rows),
    branchA,
    branchB,
    branchUpper: placeBranches(n, upper, branchA, branchB),
    firstSource,
    firstLoad,
    firstStretch,
  };
}

interface Graph {
  readonly starts: Int32Array;
  readonly neighbours: Int32Array;
}

/** Adjacency lists of the unknowns, each neighbour once. */
function adjacency(n: number, branchA: Int32Array, branchB: Int32Array): Graph {
  const counts = new Int32Array(n + 1);
  for (let e = 0; e < branchA.length; e++) {
    if (branchA[e] < 0 || branchB[e] < 0) continue;
    counts[branchA[e]]++;
    counts[branchB[e]]++;
  }
  const all = new Int32Array(n + 1);
  for (let i = 0; i < n; i++) all[i + 1] = all[i] + counts[i];
  const neighbours = new Int32Array(all[n]);
  const filled = all.slice(0, n);
  for (let e = 0; e < branchA.length; e++) {
    const a = branchA[e];
    const b = branchB[e];
    if (a < 0 || b < 0) continue;
    neighbours[filled[a]++] = b;
    neighbours[filled[b]++] = a;
  }
  const starts = new Int32Array(n + 1);
  const seen = new Int32Array(n).fill(-1);
  let to = 0;
  for (let i = 0; i < n; i++) {
    for (let p = all[i]; p < all[i + 1]; p++) {
      const j = neighbours[p];
      if (seen[j] === i) continue;
      seen[j] = i;
      neighbours[to++] = j;
    }
    starts[i + 1] = to;
  }
  return { starts, neighbours: neighbours.subarray(0, to) };
}

/** The part above the diagonal in elimination order, by columns. */
function upperPart(
  n: number,
  graph: Graph,
  order: Int32Array,
  rank: Int32Array,
): { starts: Int32Array; rows: Int32Array } {
  const starts = new Int32Array(n + 1);
  const rows = new Int32Array(graph.neighbours.length / 2);
  let to = 0;
  for (let k = 0; k < n; k++) {
    const i = order[k];
    for (let p = graph.starts[i]; p < graph.starts[i + 1]; p++) {
      const row = rank[graph.neighbours[p]];
      if (row < k) rows[to++] = row;
    }
    starts[k + 1] = to;
  }
  return { starts, rows };
}

/** Where each branch finds its number above the diagonal. */
function placeBranches(
  n: number,
  upper: { starts: Int32Array; rows: Int32Array },
  branchA: Int32Array,
  branchB: Int32Array,
): Int32Array {
  const { starts, rows } = upper;
  const places = new Int32Array(branchA.length).fill(rows.length);
  const column = new Int32Array(branchA.length);
  const counts = new Int32Array(n + 1);
  for (let e = 0; e < branchA.length; e++) {
    const isInside = branchA[e] < n && branchB[e] < n;
    column[e] = isInside ? Math.max(branchA[e], branchB[e]) : n;
    counts[column[e]]++;
  }
  const begin = new Int32Array(n + 2);
  for (let k = 0; k <= n; k++) begin[k + 1] = begin[k] + counts[k];
  const sorted = new Int32Array(branchA.length);
  const filled = begin.slice(0, n + 1);
  for (let e = 0; e < branchA.length; e++) sorted[filled[column[e]]++] = e;
  const placeOf = new Int32Array(n);
  for (let k = 0; k < n; k++) {
    for (let p = starts[k]; p < starts[k + 1]; p++) placeOf[rows[p]] = p;
    for (let q = begin[k]; q < begin[k + 1]; q++) {
      const e = sorted[q];
      places[e] = placeOf[Math.min(branchA[e], branchB[e])];
    }
  }
  return places;
}
