/** The joint equations of a circuit: who is an unknown, in which order, and which elements meet where. */
import { eliminationOrder } from './elimination-order.ts';
import type { Islands } from './islands.ts';
import type { LdlStructure } from './ldl-structure.ts';
import { analyseLdl } from './ldl-structure.ts';
import { none } from './none.ts';
import type { RowCircuit } from './series.ts';
import type { Usable } from './usable.ts';

/**
 * Elements are numbered through: resistors, sources, loads, stretches. The first three kinds have two terminals
 * (a, b or positive, negative), 2 e and 2 e + 1; a stretch has four (positive and negative start, then end), numbered
 * on from there. For the matrix, a two-terminal element is one branch, number e; a stretch is six, one for each pair of
 * its terminals, numbered on likewise.
 */
export interface JointStructure {
  readonly firstSource: number;
  readonly firstLoad: number;
  readonly firstStretch: number;
  readonly elementCount: number;
  /** -1 where the element takes no part: not valid, or in an island without a source. */
  readonly terminalNode: Int32Array;
  /** The terminals at each node: `terminals[starts[node] .. starts[node + 1])`. */
  readonly atNodes: () => { readonly starts: Int32Array; readonly terminals: Int32Array };
  /** Row of each node in elimination order, or -1 (reference, dead), and back. */
  readonly rowOf: Int32Array;
  readonly nodeOf: Int32Array;
  readonly ldl: LdlStructure;
}

/** The terminals of a stretch that its six branches join, in their order. */
const stretchPairs = [0, 1, 2, 3, 0, 2, 1, 3, 0, 3, 1, 2] as const;

/** First terminal of an element. */
export function firstTerminal(structure: JointStructure, element: number): number {
  const { firstStretch } = structure;
  return element < firstStretch ? 2 * element : 4 * element - 2 * firstStretch;
}

export function terminalCount(structure: JointStructure, element: number): 2 | 4 {
  return element < structure.firstStretch ? 2 : 4;
}

/** The element that a terminal belongs to. */
export function elementOf(structure: JointStructure, terminal: number): number {
  const { firstStretch } = structure;
  return terminal < 2 * firstStretch ? terminal >> 1 : (terminal + 2 * firstStretch) >> 2;
}

/** First branch of an element. */
export function firstBranch(structure: JointStructure, element: number): number {
  const { firstStretch } = structure;
  return element < firstStretch ? element : 6 * element - 5 * firstStretch;
}

export function branchCount(structure: JointStructure, element: number): 1 | 6 {
  return element < structure.firstStretch ? 1 : 6;
}

export function buildStructure(circuit: RowCircuit, usable: Usable, islands: Islands): JointStructure {
  const { nodeCount, rows, sources, loads, stretches } = circuit;
  const firstSource = rows.count;
  const firstLoad = firstSource + sources.length;
  const firstStretch = firstLoad + loads.length;
  const terminalNode = listTerminals(circuit, usable, islands);
  let atNodes: ReturnType<typeof gather> | undefined;

  const unknownOf = new Int32Array(nodeCount).fill(none);
  let n = 0;
  for (let node = 0; node < nodeCount; node++) {
    if (!islands.dead[node] && !islands.isReference[node]) unknownOf[node] = n++;
  }
  const ends = branchEnds(firstStretch, stretches.length, terminalNode, unknownOf);
  const rank = eliminationOrder(n, ends, listMates(2 * firstSource, terminalNode, unknownOf));

  const rowOf = new Int32Array(nodeCount).fill(none);
  const nodeOf = new Int32Array(n);
  for (let node = 0; node < nodeCount; node++) {
    if (unknownOf[node] === none) continue;
    rowOf[node] = rank[unknownOf[node]];
    nodeOf[rowOf[node]] = node;
  }
  return {
    firstSource,
    firstLoad,
    firstStretch,
    elementCount: firstStretch + stretches.length,
    terminalNode,
    // Not needed for a first solution, only for work on parts of the network.
    atNodes: () => {
      atNodes ??= gather(nodeCount, terminalNode);
      return atNodes;
    },
    rowOf,
    nodeOf,
    ldl: analyse(n, ends, rank),
  };
}

function listTerminals(circuit: RowCircuit, usable: Usable, islands: Islands): Int32Array {
  const { rows, sources, loads, stretches } = circuit;
  const twoTerminal = rows.count + sources.length + loads.length;
  const terminalNode = new Int32Array(2 * twoTerminal + 4 * stretches.length).fill(none);
  let t = 0;
  const put = (isUsable: number, first: number, second: number) => {
    const isLive = isUsable === 1 && !islands.dead[first];
    terminalNode[t++] = isLive ? first : none;
    terminalNode[t++] = isLive ? second : none;
  };
  for (let row = 0; row < rows.count; row++) put(usable.resistor[row], rows.a[row], rows.b[row]);
  for (let id = 0; id < sources.length; id++) put(usable.source[id], sources[id].positive, sources[id].negative);
  for (let id = 0; id < loads.length; id++) put(usable.load[id], loads[id].positive, loads[id].negative);
  for (let id = 0; id < stretches.length; id++) {
    put(usable.stretch[id], stretches[id].positiveStart, stretches[id].negativeStart);
    put(usable.stretch[id], stretches[id].positiveEnd, stretches[id].negativeEnd);
  }
  return terminalNode;
}

/** Sorts positions 0 .. by the key that stands there (keys from 0 to n - 1; others are left out). */
function gather(n: number, keys: Int32Array): { starts: Int32Array; terminals: Int32Array } {
  const starts = new Int32Array(n + 1);
  for (let i = 0; i < keys.length; i++) if (keys[i] !== none) starts[keys[i] + 1]++;
  for (let k = 0; k < n; k++) starts[k + 1] += starts[k];
  const terminals = new Int32Array(starts[n]);
  const filled = starts.slice(0, n);
  for (let i = 0; i < keys.length; i++) if (keys[i] !== none) terminals[filled[keys[i]]++] = i;
  return { starts, terminals };
}

/** The unknowns at the two ends of each branch, -1 for none: end 2 b and 2 b + 1. A branch onto itself has none. */
function branchEnds(firstStretch: number, stretchCount: number, terminalNode: Int32Array, unknownOf: Int32Array) {
  const ends = new Int32Array(2 * (firstStretch + 6 * stretchCount)).fill(none);
  const put = (branch: number, a: number, b: number) => {
    if (a === b || a === none) return;
    ends[2 * branch] = unknownOf[a];
    ends[2 * branch + 1] = unknownOf[b];
  };
  for (let e = 0; e < firstStretch; e++) put(e, terminalNode[2 * e], terminalNode[2 * e + 1]);
  for (let s = 0; s < stretchCount; s++) {
    const t = 2 * firstStretch + 4 * s;
    for (let i = 0; i < 6; i++) {
      const a = terminalNode[t + stretchPairs[2 * i]];
      const b = terminalNode[t + stretchPairs[2 * i + 1]];
      put(firstStretch + 6 * s + i, a, b);
    }
  }
  return ends;
}

/** The unknowns on either side of each source, load and end of a stretch: pairs of terminals from `from` on. */
function listMates(from: number, terminalNode: Int32Array, unknownOf: Int32Array): Int32Array {
  const mates = new Int32Array(terminalNode.length - from);
  for (let i = 0; i < mates.length; i++) {
    const node = terminalNode[from + i];
    mates[i] = node === none ? none : unknownOf[node];
  }
  return mates;
}

/** The branches of each row in elimination order, and the other rows that they lead to. */
function analyse(n: number, ends: Int32Array, rank: Int32Array): LdlStructure {
  const starts = new Int32Array(n + 1);
  for (let i = 0; i < ends.length; i++) if (ends[i] !== none) starts[rank[ends[i]] + 1]++;
  for (let k = 0; k < n; k++) starts[k + 1] += starts[k];
  const branches = new Int32Array(starts[n]);
  const others = new Int32Array(starts[n]);
  const filled = starts.slice(0, n);
  for (let i = 0; i < ends.length; i += 2) {
    const a = ends[i] === none ? n : rank[ends[i]];
    const b = ends[i + 1] === none ? n : rank[ends[i + 1]];
    if (a < n) {
      branches[filled[a]] = i >> 1;
      others[filled[a]++] = b;
    }
    if (b < n) {
      branches[filled[b]] = i >> 1;
      others[filled[b]++] = a;
    }
  }
  return analyseLdl(n, starts, branches, others);
}
