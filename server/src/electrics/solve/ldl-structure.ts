/**
 * The structure of A = L D L^T of a conductance matrix: found once, used for every factorisation.
 *
 * A is given by its branches: each adds its conductance g to the diagonal of its two rows and -g between them; a branch
 * with one row goes to the reference. Columns of L that share their rows form one dense block, a *supernode*
 * (C. C. Ashcraft, R. G. Grimes, J. G. Lewis, B. W. Peyton, H. D. Simon, Int. J. Supercomputer Appl. 1, 1987, 10-30):
 * the work is done on blocks, the bookkeeping once for each.
 */

import { none } from './none.ts';

export interface LdlStructure {
  readonly n: number;
  /** The branches at row k: `branches[starts[k] .. starts[k + 1])`, and their other rows, n for the reference. */
  readonly starts: Int32Array;
  readonly branches: Int32Array;
  readonly others: Int32Array;
  /** Supernode s has the columns columnStarts[s] .. columnStarts[s + 1) - 1. */
  readonly superCount: number;
  readonly columnStarts: Int32Array;
  readonly superOf: Int32Array;
  /** The rows below its own columns in which it has numbers, rising: `rows[rowStarts[s] .. rowStarts[s + 1])`. */
  readonly rowStarts: Int32Array;
  readonly rows: Int32Array;
  /** Its block stands at `blockStarts[s]` in the factor: row by row, its own columns first, one number per column. */
  readonly blockStarts: Int32Array;
  /** Elimination tree of the supernodes; -1 ends a list. */
  readonly parent: Int32Array;
  readonly firstChild: Int32Array;
  readonly sibling: Int32Array;
  /** The supernodes that change s, and where their rows within the columns of s begin and end (places in `rows`). */
  readonly updateStarts: Int32Array;
  readonly updates: Int32Array;
  readonly updateFrom: Int32Array;
  readonly updateTo: Int32Array;
  /** Where each entry of `branches` stands below the diagonal of its column, -1 where it stands above or nowhere. */
  readonly targets: Int32Array;
  /**
   * Where the rows of an update, from its first on, stand in the block of s, less the first column of s:
   * `updateTargets[updateTargetStarts[u] ..)`.
   */
  readonly updateTargetStarts: Int32Array;
  readonly updateTargets: Int32Array;
}

/**
 * Elimination tree of the rows: `parent[i]` is the first row below i in which column i of L has a number, -1 if none
 * (J. W. H. Liu, SIAM J. Matrix Anal. Appl. 11, 1990, 134-172). `ranked` gives the other rows at the branches of row k.
 */
function eliminationTree(n: number, starts: Int32Array, others: Int32Array): Int32Array {
  const parent = new Int32Array(n).fill(none);
  const ancestor = new Int32Array(n).fill(none);
  for (let k = 0; k < n; k++) {
    for (let p = starts[k]; p < starts[k + 1]; p++) {
      for (let i = others[p]; i < k; ) {
        const next = ancestor[i];
        ancestor[i] = k;
        if (next === none) {
          parent[i] = k;
          break;
        }
        if (next === k) break;
        i = next;
      }
    }
  }
  return parent;
}

/** The children of each as a list, the least first; `none` ends it. */
function childrenOf(parent: Int32Array) {
  const firstChild = new Int32Array(parent.length).fill(none);
  const sibling = new Int32Array(parent.length).fill(none);
  for (let i = parent.length - 1; i >= 0; i--) {
    if (parent[i] === none) continue;
    sibling[i] = firstChild[parent[i]];
    firstChild[parent[i]] = i;
  }
  return { firstChild, sibling };
}

/** Children before parents, each subtree in one piece: the new place of every row. */
function postorder(parent: Int32Array): Int32Array {
  const n = parent.length;
  const { firstChild, sibling } = childrenOf(parent);
  const place = new Int32Array(n);
  const stack = new Int32Array(n);
  let next = 0;
  for (let root = 0; root < n; root++) {
    if (parent[root] !== none) continue;
    let depth = 0;
    stack[depth++] = root;
    while (depth > 0) {
      const i = stack[depth - 1];
      const child = firstChild[i];
      if (child === none) {
        place[i] = next++;
        depth--;
      } else {
        firstChild[i] = sibling[child];
        stack[depth++] = child;
      }
    }
  }
  return place;
}

/**
 * The same elimination order, rearranged so that the rows of each subtree follow one another: the fill stays the same,
 * and the columns of a supernode come to stand side by side. Returns the new place of each row of the given order.
 */
export function gatherSubtrees(n: number, starts: Int32Array, others: Int32Array): Int32Array {
  return postorder(eliminationTree(n, starts, others));
}

/** Finds the structure of L from the branches of each row, in an order that `gatherSubtrees` leaves alone. */
export function analyseLdl(n: number, starts: Int32Array, branches: Int32Array, others: Int32Array): LdlStructure {
  const parent = eliminationTree(n, starts, others);
  const heights = columnHeights(n, starts, others, parent);
  const { superOf, columnStarts } = findSupernodes(parent, heights);
  const superCount = columnStarts.length - 1;

  const rowStarts = new Int32Array(superCount + 1);
  const blockStarts = new Int32Array(superCount + 1);
  const superParent = new Int32Array(superCount);
  for (let s = 0; s < superCount; s++) {
    const last = columnStarts[s + 1] - 1;
    const width = columnStarts[s + 1] - columnStarts[s];
    rowStarts[s + 1] = rowStarts[s] + heights[last];
    blockStarts[s + 1] = blockStarts[s] + width * (width + heights[last]);
    superParent[s] = parent[last] === none ? none : superOf[parent[last]];
  }
  const rows = fillRows({ n, starts, others, superOf, columnStarts, rowStarts, superParent });
  const shape = { n, starts, branches, others, superCount, columnStarts, superOf, rowStarts, rows, blockStarts };
  const updates = listUpdates(superCount, superOf, rowStarts, rows);
  return { ...shape, parent: superParent, ...childrenOf(superParent), ...updates, ...findTargets(shape, updates) };
}

/** How many numbers each column of L has below its diagonal: every row k counts along its paths up the tree. */
function columnHeights(n: number, starts: Int32Array, others: Int32Array, parent: Int32Array): Int32Array {
  const heights = new Int32Array(n);
  const seen = new Int32Array(n).fill(none);
  for (let k = 0; k < n; k++) {
    seen[k] = k;
    for (let p = starts[k]; p < starts[k + 1]; p++) {
      for (let i = others[p]; i < k && seen[i] !== k; i = parent[i]) {
        heights[i]++;
        seen[i] = k;
      }
    }
  }
  return heights;
}

/**
 * A column joins the one before it when that one's rows are this column and the rows of this column; and a supernode
 * joins the one that ends right before it and hangs on it, when that costs few zeros: wide blocks are worth some.
 */
function findSupernodes(parent: Int32Array, heights: Int32Array) {
  const n = parent.length;
  const superOf = new Int32Array(n);
  /** First column of each supernode so far, and the zeros in its block. */
  const begins: number[] = [];
  const zeros: number[] = [];
  for (let k = 0; k < n; ) {
    let end = k + 1;
    while (parent[end - 1] === end && heights[end - 1] === heights[end] + 1) end++;
    let begin = k;
    let ownZeros = 0;
    while (begins.length > 0 && parent[begin - 1] >= begin && parent[begin - 1] < end) {
      const before = begins[begins.length - 1];
      const width = end - before;
      const height = heights[end - 1];
      const added = (begin - before) * (end - begin + height - heights[begin - 1]);
      const together = ownZeros + zeros[zeros.length - 1] + added;
      if (!isWorthZeros(width, together / (width * (width / 2 + height)))) break;
      ownZeros = together;
      begin = before;
      begins.pop();
      zeros.pop();
    }
    begins.push(begin);
    zeros.push(ownZeros);
    k = end;
  }
  const columnStarts = Int32Array.from([...begins, n]);
  for (let s = 0; s < begins.length; s++) superOf.fill(s, columnStarts[s], columnStarts[s + 1]);
  return { superOf, columnStarts };
}

/** How large a share of zeros a block of some width may have. */
function isWorthZeros(width: number, share: number): boolean {
  if (width <= 4) return share <= 0.5;
  if (width <= 16) return share <= 0.2;
  return share <= (width <= 48 ? 0.1 : 0.05);
}

type RowShape = Pick<LdlStructure, 'n' | 'starts' | 'others' | 'superOf' | 'columnStarts' | 'rowStarts'>;

function fillRows(shape: RowShape & { superParent: Int32Array }): Int32Array {
  const { n, starts, others, superOf, columnStarts, rowStarts, superParent } = shape;
  const superCount = columnStarts.length - 1;
  const rows = new Int32Array(rowStarts[superCount]);
  const filled = rowStarts.slice(0, superCount);
  const seen = new Int32Array(superCount).fill(none);
  for (let k = 0; k < n; k++) {
    const own = superOf[k];
    seen[own] = k;
    for (let p = starts[k]; p < starts[k + 1]; p++) {
      if (others[p] >= k) continue;
      for (let s = superOf[others[p]]; seen[s] !== k; s = superParent[s]) {
        rows[filled[s]++] = k;
        seen[s] = k;
      }
    }
  }
  return rows;
}

/** For each supernode, those before it with rows among its columns. */
function listUpdates(superCount: number, superOf: Int32Array, rowStarts: Int32Array, rows: Int32Array) {
  const updateStarts = new Int32Array(superCount + 1);
  const forEachRun = (use: (target: number, s: number, from: number, to: number) => void) => {
    for (let s = 0; s < superCount; s++) {
      for (let from = rowStarts[s]; from < rowStarts[s + 1]; ) {
        const target = superOf[rows[from]];
        let to = from + 1;
        while (to < rowStarts[s + 1] && superOf[rows[to]] === target) to++;
        use(target, s, from, to);
        from = to;
      }
    }
  };
  forEachRun((target) => updateStarts[target + 1]++);
  for (let s = 0; s < superCount; s++) updateStarts[s + 1] += updateStarts[s];
  const updates = new Int32Array(updateStarts[superCount]);
  const updateFrom = new Int32Array(updates.length);
  const updateTo = new Int32Array(updates.length);
  const filled = updateStarts.slice(0, superCount);
  forEachRun((target, s, from, to) => {
    const place = filled[target]++;
    updates[place] = s;
    updateFrom[place] = from;
    updateTo[place] = to;
  });
  return { updateStarts, updates, updateFrom, updateTo };
}

type Updates = Pick<LdlStructure, 'updateStarts' | 'updates' | 'updateFrom' | 'updateTo'>;
type BlockShape = RowShape & Pick<LdlStructure, 'superCount' | 'rows' | 'blockStarts'>;

/** Where what is added to a block stands in it. */
function findTargets(shape: BlockShape, { updateStarts, updates, updateFrom }: Updates) {
  const { n, starts, others, superCount, columnStarts, rowStarts, rows, blockStarts } = shape;
  const targets = new Int32Array(others.length).fill(none);
  const updateTargetStarts = new Int32Array(updates.length + 1);
  for (let u = 0; u < updates.length; u++) {
    updateTargetStarts[u + 1] = updateTargetStarts[u] + rowStarts[updates[u] + 1] - updateFrom[u];
  }
  const updateTargets = new Int32Array(updateTargetStarts[updates.length]);
  // The place of each row in the block at hand.
  const place = new Int32Array(n);
  for (let s = 0; s < superCount; s++) {
    const first = columnStarts[s];
    const width = columnStarts[s + 1] - first;
    for (let k = 0; k < width; k++) place[first + k] = blockStarts[s] + k * width;
    for (let p = rowStarts[s], i = width; p < rowStarts[s + 1]; p++, i++) place[rows[p]] = blockStarts[s] + i * width;
    for (let k = 0; k < width; k++) {
      for (let p = starts[first + k]; p < starts[first + k + 1]; p++) {
        if (others[p] > first + k && others[p] < n) targets[p] = place[others[p]] + k;
      }
    }
    for (let u = updateStarts[s]; u < updateStarts[s + 1]; u++) {
      let to = updateTargetStarts[u];
      for (let p = updateFrom[u]; p < rowStarts[updates[u] + 1]; p++) updateTargets[to++] = place[rows[p]] - first;
    }
  }
  return { targets, updateTargetStarts, updateTargets };
}
