/** In which order the unknowns of a circuit are eliminated. */
import { gatherSubtrees } from './ldl-structure.ts';
import { minimumDegreeOrder } from './minimum-degree.ts';
import { none } from './none.ts';

/**
 * The place of each unknown 0 .. n - 1 in the order of elimination. `ends` holds the two unknowns that each branch joins,
 * -1 for none.
 *
 * The two sides of a load, of a pixel and of a supply have nearly the same neighbours, each on its own rail. So they are
 * ordered as one vertex of a graph with half the vertices and far fewer edges (graph compression: C. Ashcraft, SIAM J.
 * Sci. Comput. 16, 1995, 1404-1411, there for exactly equal neighbours). `mates` lists such pairs, the first that claim
 * an unknown first.
 */
export function eliminationOrder(n: number, ends: Int32Array, mates: Int32Array): Int32Array {
  const { vertexOf, count, first, second } = pairUp(n, mates);
  const { starts, neighbours } = adjacency(count, ends, vertexOf);
  const order = minimumDegreeOrder(count, starts, neighbours);
  const rank = new Int32Array(count);
  for (let k = 0; k < count; k++) rank[order[k]] = k;
  const place = gatherSubtrees(count, ...ordered(starts, neighbours, order, rank));
  const vertexAt = new Int32Array(count);
  for (let v = 0; v < count; v++) vertexAt[place[rank[v]]] = v;
  const rows = new Int32Array(n);
  let row = 0;
  for (let k = 0; k < count; k++) {
    rows[first[vertexAt[k]]] = row++;
    if (second[vertexAt[k]] !== none) rows[second[vertexAt[k]]] = row++;
  }
  return rows;
}

/** Joins unknowns to vertices of one or two. */
function pairUp(n: number, mates: Int32Array) {
  const mateOf = new Int32Array(n).fill(none);
  for (let i = 0; i < mates.length; i += 2) {
    const a = mates[i];
    const b = mates[i + 1];
    if (a === none || b === none || a === b || mateOf[a] !== none || mateOf[b] !== none) continue;
    mateOf[a] = b;
    mateOf[b] = a;
  }
  const vertexOf = new Int32Array(n);
  const first = new Int32Array(n);
  const second = new Int32Array(n);
  let count = 0;
  for (let i = 0; i < n; i++) {
    if (mateOf[i] !== none && mateOf[i] < i) continue;
    vertexOf[i] = count;
    if (mateOf[i] !== none) vertexOf[mateOf[i]] = count;
    first[count] = i;
    second[count++] = mateOf[i];
  }
  return { vertexOf, count, first, second };
}

/** Adjacency lists of the vertices, each neighbour once. */
function adjacency(count: number, ends: Int32Array, vertexOf: Int32Array) {
  const all = new Int32Array(count + 1);
  // The six branches of a stretch follow one another and mostly join the same two vertices: each such row of them is
  // taken once here, and what is left of repeats goes below.
  const pairs = new Int32Array(ends.length);
  let end = 0;
  let lastA = none;
  let lastB = none;
  for (let e = 0; e < ends.length; e += 2) {
    if (ends[e] === none || ends[e + 1] === none) continue;
    const a = vertexOf[ends[e]];
    const b = vertexOf[ends[e + 1]];
    if (a === b || (a === lastA && b === lastB)) continue;
    all[a + 1]++;
    all[b + 1]++;
    pairs[end++] = lastA = a;
    pairs[end++] = lastB = b;
  }
  for (let v = 0; v < count; v++) all[v + 1] += all[v];
  const neighbours = new Int32Array(all[count]);
  const filled = all.slice(0, count);
  for (let i = 0; i < end; i += 2) {
    neighbours[filled[pairs[i]]++] = pairs[i + 1];
    neighbours[filled[pairs[i + 1]]++] = pairs[i];
  }
  const starts = new Int32Array(count + 1);
  const seen = filled.fill(none);
  let to = 0;
  for (let v = 0; v < count; v++) {
    for (let p = all[v]; p < all[v + 1]; p++) {
      const other = neighbours[p];
      if (seen[other] === v) continue;
      seen[other] = v;
      neighbours[to++] = other;
    }
    starts[v + 1] = to;
  }
  return { starts, neighbours: neighbours.subarray(0, to) };
}

/** A graph's adjacency lists in elimination order. */
function ordered(
  starts: Int32Array,
  neighbours: Int32Array,
  order: Int32Array,
  rank: Int32Array,
): [starts: Int32Array, others: Int32Array] {
  const inOrder = new Int32Array(starts.length);
  const others = new Int32Array(neighbours.length);
  let to = 0;
  for (let k = 0; k < order.length; k++) {
    const v = order[k];
    for (let p = starts[v]; p < starts[v + 1]; p++) others[to++] = rank[neighbours[p]];
    inOrder[k + 1] = to;
  }
  return [inOrder, others];
}
