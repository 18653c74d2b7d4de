/**
 * A fill-reducing order for a sparse symmetric factorisation: approximate minimum degree on a quotient graph
 * (P. R. Amestoy, T. A. Davis, I. S. Duff, SIAM J. Matrix Anal. Appl. 17, 1996, 886-905).
 *
 * Eliminating a vertex joins its neighbours to one another. The quotient graph does not write those edges down:
 * an eliminated vertex lives on as an *element*, the list of the vertices it joined. Vertices with the same
 * neighbours are merged and eliminated together.
 */

import { none } from './none.ts';

/**
 * Orders the vertices 0 .. n - 1 of a graph.
 * `starts` (n + 1) and `neighbours` hold the adjacency lists: symmetric, without loops or repeats.
 * Returns the vertices in elimination order. Linear in the edges for trees and chains; never fails.
 */
export function minimumDegreeOrder(n: number, starts: Int32Array, neighbours: Int32Array): Int32Array {
  return new QuotientGraph(n, starts, neighbours).order();
}

class QuotientGraph {
  private readonly n: number;
  /** Lists of a vertex: its elements first, then its plain neighbours. Of an element: its vertices. */
  private pool: Int32Array;
  private poolEnd: number;
  private readonly start: Int32Array;
  private readonly elementCount: Int32Array;
  private readonly length: Int32Array;
  /** How many vertices a merged vertex stands for; 0 when it was merged away or eliminated. */
  private readonly weight: Int32Array;
  /** Of an element: the weight of its vertices. */
  private readonly elementWeight: Int32Array;
  private readonly degree: Int32Array;
  /** Degree buckets: doubly linked lists. */
  private readonly head: Int32Array;
  private readonly tail: Int32Array;
  private readonly next: Int32Array;
  private readonly previous: Int32Array;
  private least = 0;
  /** Vertices eliminated together with another: a linked list behind it. */
  private readonly follower: Int32Array;
  private readonly lastFollower: Int32Array;
  private readonly mark: Int32Array;
  private tag = 0;
  /** Weight of an element outside the pivot's, while `outsideTag` says that it is up to date. */
  private readonly outside: Int32Array;
  private readonly outsideTag: Int32Array;
  private readonly hash: Int32Array;
  private readonly hashHead: Int32Array;
  private remaining: number;

  constructor(n: number, starts: Int32Array, neighbours: Int32Array) {
    this.n = n;
    const edges = starts[n];
    this.pool = neighbours.slice(0, edges);
    this.poolEnd = edges;
    this.start = starts.slice(0, n);
    this.length = new Int32Array(n);
    this.elementCount = new Int32Array(n);
    this.weight = new Int32Array(n).fill(1);
    this.elementWeight = new Int32Array(n);
    this.degree = new Int32Array(n);
    this.head = new Int32Array(n).fill(none);
    this.tail = new Int32Array(n).fill(none);
    this.next = new Int32Array(n).fill(none);
    this.previous = new Int32Array(n).fill(none);
    this.follower = new Int32Array(n).fill(none);
    this.lastFollower = new Int32Array(n);
    this.mark = new Int32Array(n);
    this.outside = new Int32Array(n);
    this.outsideTag = new Int32Array(n);
    this.hash = new Int32Array(n);
    this.hashHead = new Int32Array(n).fill(none);
    this.remaining = n;
    for (let i = 0; i < n; i++) {
      this.lastFollower[i] = i;
      this.length[i] = this.degree[i] = starts[i + 1] - starts[i];
    }
  }

  order(): Int32Array {
    const order = new Int32Array(this.n);
    let filled = 0;
    const dense = this.takeDense();
    for (let i = 0; i < this.n; i++) if (this.weight[i] > 0) this.insert(i);
    while (filled < this.n - dense.length) {
      const pivot = this.takeLeast();
      this.eliminate(pivot);
      for (let v = pivot; v !== none; v = this.follower[v]) order[filled++] = v;
    }
    for (const v of dense) order[filled++] = v;
    return order;
  }

  /** A vertex joined to a great many others comes last anyway; kept in the graph it would be scanned every time. */
  private takeDense(): number[] {
    const limit = 10 * Math.sqrt(this.n);
    const dense: number[] = [];
    for (let i = 0; i < this.n; i++) {
      if (this.degree[i] <= limit) continue;
      dense.push(i);
      this.weight[i] = 0;
      this.remaining--;
    }
    dense.sort((a, b) => this.degree[a] - this.degree[b] || a - b);
    return dense;
  }

  /**
   * Behind the others of its degree: vertices that waited longer come first, which spreads the elimination over the
   * graph. The other way round it would creep along a front and leave far more fill on a mesh.
   */
  private insert(i: number): void {
    const degree = this.degree[i];
    const last = this.tail[degree];
    this.previous[i] = last;
    this.next[i] = none;
    if (last !== none) this.next[last] = i;
    else this.head[degree] = i;
    this.tail[degree] = i;
    if (degree < this.least) this.least = degree;
  }

  private remove(i: number): void {
    const next = this.next[i];
    const previous = this.previous[i];
    if (next !== none) this.previous[next] = previous;
    else this.tail[this.degree[i]] = previous;
    if (previous !== none) this.next[previous] = next;
    else this.head[this.degree[i]] = next;
  }

  private takeLeast(): number {
    while (this.head[this.least] === none) this.least++;
    const pivot = this.head[this.least];
    this.remove(pivot);
    return pivot;
  }

  private eliminate(pivot: number): void {
    this.remaining -= this.weight[pivot];
    this.formElement(pivot);
    this.measureOutside(pivot);
    this.updateDegrees(pivot);
    this.mergeTwins(pivot);
    this.closeElement(pivot);
  }

  /** Turns the pivot into an element: its neighbours and the vertices of its elements, which it absorbs. */
  private formElement(pivot: number): void {
    const { start, length, elementCount, weight, mark, elementWeight } = this;
    const pool = this.withRoom(pivot);
    const tag = ++this.tag;
    mark[pivot] = tag;
    const from = this.poolEnd;
    let to = from;
    let total = 0;
    const elementsEnd = start[pivot] + elementCount[pivot];
    const end = start[pivot] + length[pivot];
    for (let p = start[pivot]; p < end; p++) {
      const isElement = p < elementsEnd;
      const source = pool[p];
      const q0 = isElement ? start[source] : p;
      const q1 = isElement ? q0 + length[source] : p + 1;
      for (let q = q0; q < q1; q++) {
        const i = pool[q];
        if (weight[i] === 0 || mark[i] === tag) continue;
        mark[i] = tag;
        pool[to++] = i;
        total += weight[i];
        this.remove(i);
      }
      if (isElement) elementWeight[source] -= weight[pivot];
    }
    this.poolEnd = to;
    start[pivot] = from;
    length[pivot] = to - from;
    elementCount[pivot] = 0;
    weight[pivot] = 0;
    elementWeight[pivot] = total;
  }

  /** For each element that touches the pivot's vertices: the weight of its vertices that the pivot does not join. */
  private measureOutside(pivot: number): void {
    const { pool, start, length, elementCount, weight, elementWeight, outside, outsideTag, tag } = this;
    for (let p = start[pivot]; p < start[pivot] + length[pivot]; p++) {
      const i = pool[p];
      for (let q = start[i]; q < start[i] + elementCount[i]; q++) {
        const e = pool[q];
        if (outsideTag[e] !== tag) {
          outsideTag[e] = tag;
          outside[e] = elementWeight[e];
        }
        outside[e] -= weight[i];
      }
    }
  }

  /** Rewrites the lists of the pivot's vertices around the new element and bounds their degrees. */
  private updateDegrees(pivot: number): void {
    const { pool, start, length, elementCount, weight, elementWeight, outside, mark, tag, degree } = this;
    for (let p = start[pivot]; p < start[pivot] + length[pivot]; p++) {
      const i = pool[p];
      const from = start[i];
      const elementsEnd = from + elementCount[i];
      const end = from + length[i];
      let to = from;
      let bound = 0;
      let sum = pivot;
      for (let q = from; q < elementsEnd; q++) {
        const e = pool[q];
        if (outside[e] === 0) continue; // absorbed, or covered by the new element all the same
        bound += outside[e];
        sum += e;
        pool[to++] = e;
      }
      const plainFrom = to;
      for (let q = elementsEnd; q < end; q++) {
        const j = pool[q];
        if (weight[j] === 0 || mark[j] === tag) continue; // gone, or covered by the new element
        bound += weight[j];
        sum += j;
        pool[to++] = j;
      }
      // The pivot, or an element it absorbed, has left this list: there is room to put the new element in front.
      pool[to] = pool[plainFrom];
      pool[plainFrom] = pool[from];
      pool[from] = pivot;
      elementCount[i] = plainFrom - from + 1;
      length[i] = to - from + 1;
      const joined = elementWeight[pivot] - weight[i];
      degree[i] = Math.min(degree[i], bound) + joined;
      this.hash[i] = sum % this.n;
    }
  }

  /** Merges the pivot's vertices that have equal lists; those joined to nothing else go with the pivot itself. */
  private mergeTwins(pivot: number): void {
    const { pool, start, length, weight, hash, hashHead, next, elementWeight } = this;
    const begin = start[pivot];
    const end = begin + length[pivot];
    for (let p = begin; p < end; p++) {
      const i = pool[p];
      if (length[i] === 1) {
        elementWeight[pivot] -= weight[i];
        this.remaining -= weight[i];
        weight[i] = 0;
        this.append(pivot, i);
        continue;
      }
      let twin = hashHead[hash[i]];
      while (twin !== none && !this.areTwins(twin, i)) twin = next[twin];
      if (twin === none) {
        next[i] = hashHead[hash[i]];
        hashHead[hash[i]] = i;
      } else {
        weight[twin] += weight[i];
        this.degree[twin] -= weight[i];
        weight[i] = 0;
        this.append(twin, i);
      }
    }
    for (let p = begin; p < end; p++) hashHead[hash[pool[p]]] = none;
  }

  private areTwins(a: number, b: number): boolean {
    const { pool, start, length, elementCount, mark } = this;
    if (length[a] !== length[b] || elementCount[a] !== elementCount[b]) return false;
    const tag = ++this.tag;
    for (let q = start[a]; q < start[a] + length[a]; q++) mark[pool[q]] = tag;
    for (let q = start[b]; q < start[b] + length[b]; q++) if (mark[pool[q]] !== tag) return false;
    return true;
  }

  /** Puts b and what follows it behind a. */
  private append(a: number, b: number): void {
    this.follower[this.lastFollower[a]] = b;
    this.lastFollower[a] = this.lastFollower[b];
  }

  /** Drops merged vertices from the new element and puts the others back into their buckets. */
  private closeElement(pivot: number): void {
    const { pool, start, length, weight, degree } = this;
    let to = start[pivot];
    for (let p = start[pivot]; p < start[pivot] + length[pivot]; p++) {
      const i = pool[p];
      if (weight[i] === 0) continue;
      pool[to++] = i;
      degree[i] = Math.min(degree[i], this.remaining - weight[i]);
      this.insert(i);
    }
    length[pivot] = to - start[pivot];
    this.poolEnd = to;
  }

  /** The pool with room at its end for the pivot's element. What lists leave behind is little beside the fill of L. */
  private withRoom(pivot: number): Int32Array {
    const { start, length, elementCount, pool } = this;
    let end = this.poolEnd + length[pivot];
    for (let p = start[pivot]; p < start[pivot] + elementCount[pivot]; p++) end += length[pool[p]];
    if (end > pool.length) {
      this.pool = new Int32Array(2 * end);
      this.pool.set(pool);
    }
    return this.pool;
  }
}
