/**
 * Parts that nothing but loads ties to the rest: a rail whose feed is cut, a string whose ground leads nowhere.
 *
 * No current can return from such a part, so its loads draw none, and Kirchhoff's laws say nothing of its level: any
 * at which the loads are off would do. In truth leakage pulls both sides together, so the part is put at the level of
 * the other side: 0 V across its loads, as far as they agree on that.
 */
import type { IndexSet } from './index-set.ts';
import { saveNode } from './journal.ts';
import type { Network } from './network.ts';
import { elementOf, firstTerminal } from './structure.ts';

/** Shifts below this share of the highest supply voltage are not worth another solution. */
const leastShift = 1e-10;

/**
 * What a cut between two nodes has set loose. Returns a load or stretch that crosses from the loose part to the rest
 * (its element number), null when the part has no such load, or undefined when the nodes still hang together.
 */
export function findLoose(network: Network, a: number, b: number): number | null | undefined {
  const part = separatePart(network, a, b);
  return part === undefined ? undefined : crossingLoad(network, part);
}

/**
 * Puts the part on the loose side of a crossing load at the highest level at which none of its loads to the rest has
 * more than 0 V across it. True if that moved anything.
 */
export function level(network: Network, crossing: number): boolean {
  const { structure, volts, changed } = network;
  const { terminalNode } = structure;
  const { starts, terminals } = structure.atNodes();
  const t = firstTerminal(structure, crossing);
  const part = separatePart(network, terminalNode[t], terminalNode[t + 1]);
  if (part === undefined) return false;
  const isPositive = part.has(terminalNode[t]);
  let highest = -Infinity;
  for (let k = 0; k < part.size; k++) {
    visit(network, part.items[k], (_, other, isTie) => {
      const above = volts[part.items[k]] - volts[other];
      if (!isTie && !part.has(other)) highest = Math.max(highest, isPositive ? above : -above);
      return false;
    });
  }
  if (!(Math.abs(highest) > leastShift * network.highestVolts)) return false;
  const shift = isPositive ? -highest : highest;
  for (let k = 0; k < part.size; k++) {
    const node = part.items[k];
    saveNode(network, node);
    volts[node] += shift;
    for (let p = starts[node]; p < starts[node + 1]; p++) changed.add(elementOf(structure, terminals[p]));
  }
  return true;
}

/** Whether any source that still takes part can be reached from a node, through elements of any kind. */
export function isFed(network: Network, node: number): boolean {
  const { structure, sides } = network;
  const { firstSource, firstLoad } = structure;
  const seen = clean(sides[0]);
  seen.add(node);
  for (let k = 0; k < seen.size; k++) {
    const isFound = visit(network, seen.items[k], (element, other) => {
      seen.add(other);
      return element >= firstSource && element < firstLoad;
    });
    if (isFound) return true;
  }
  return false;
}

/** All nodes that hang together with a node, through elements of any kind. */
export function islandOf(network: Network, node: number): Int32Array {
  const seen = clean(network.sides[0]);
  seen.add(node);
  for (let k = 0; k < seen.size; k++) {
    visit(network, seen.items[k], (_, other) => {
      seen.add(other);
      return false;
    });
  }
  return seen.items.slice(0, seen.size);
}

/**
 * The smaller of the two parts that a and b belong to by conductors and sources alone, or undefined when they are one.
 * Walks from both at the same pace, so that it costs what the smaller part or the way between them costs.
 */
function separatePart(network: Network, a: number, b: number): IndexSet | undefined {
  if (a === b) return undefined;
  const own = clean(network.sides[0]);
  const other = clean(network.sides[1]);
  own.add(a);
  other.add(b);
  for (let k = 0; ; k++) {
    for (const [near, far] of [
      [own, other],
      [other, own],
    ] as const) {
      if (k >= near.size) return near;
      const isMet = visit(network, near.items[k], (_, node, isTie) => {
        if (!isTie) return false;
        near.add(node);
        return far.has(node);
      });
      if (isMet) return undefined;
    }
  }
}

function clean(set: IndexSet): IndexSet {
  set.clear();
  return set;
}

/** The first load, in the order of elements, between the part and the rest; null when there is none. */
function crossingLoad(network: Network, part: IndexSet): number | null {
  let first = Infinity;
  for (let k = 0; k < part.size; k++) {
    visit(network, part.items[k], (element, other, isTie) => {
      if (!isTie && !part.has(other)) first = Math.min(first, element);
      return false;
    });
  }
  return first < Infinity ? first : null;
}

/**
 * Calls `use` with each live element at a node and each of its other nodes, until it returns true. Conductors and
 * sources tie their two nodes together, and a stretch the ends of each of its rails; loads, and the pixels between the
 * rails, do not.
 */
function visit(
  network: Network,
  node: number,
  use: (element: number, other: number, isTie: boolean) => boolean,
): boolean {
  const { structure, isLive } = network;
  const { terminalNode, firstLoad, firstStretch } = structure;
  const { starts, terminals } = structure.atNodes();
  for (let p = starts[node]; p < starts[node + 1]; p++) {
    const terminal = terminals[p];
    const element = elementOf(structure, terminal);
    if (!isLive[element]) continue;
    if (element < firstStretch) {
      if (use(element, terminalNode[terminal ^ 1], element < firstLoad)) return true;
      continue;
    }
    // The other end of the same rail, and the other rail at the same end.
    const first = firstTerminal(structure, element);
    const place = terminal - first;
    if (use(element, terminalNode[first + (place ^ 2)], true)) return true;
    if (use(element, terminalNode[first + (place ^ 1)], false)) return true;
  }
  return false;
}
