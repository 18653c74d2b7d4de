/**
 * Resistors in series as one: a feed is a fuse, a cable and a connector one behind another, and nothing branches off
 * between them. Solving for the joints alone leaves a third of the unknowns; the nodes between are read off afterwards.
 */
import type { Circuit, Resistor } from '../circuit.ts';
import type { Solution } from '../solution.ts';
import { circuitLimits } from '../validate.ts';
import type { Usable } from './usable.ts';

export interface Series {
  /** The circuit with one resistor for each row of them; its other elements, and all node numbers, are as before. */
  readonly circuit: Circuit;
  /** Row r consists of the resistors `members[starts[r] .. starts[r + 1])`, in order from its node a to its node b. */
  readonly starts: Int32Array;
  readonly members: Int32Array;
  /** The row of each resistor, -1 for one that is not usable; and 1 or -1, as it points along its row or against it. */
  readonly rowOf: Int32Array;
  readonly direction: Int8Array;
}

/** Finds the rows of resistors. */
export function findSeries(circuit: Circuit, usable: Usable): Series {
  const { resistors } = circuit;
  const isInner = innerNodes(circuit, usable);
  const { first, second } = incidence(circuit, usable, isInner);
  const rowOf = new Int32Array(resistors.length).fill(-1);
  const direction = new Int8Array(resistors.length);
  const members = new Int32Array(resistors.length);
  const starts: number[] = [0];
  let end = 0;
  const follow = (from: number, start: number) => {
    let node = start;
    for (let r = from; rowOf[r] < 0; ) {
      const isAlong = resistors[r].a === node;
      rowOf[r] = starts.length - 1;
      direction[r] = isAlong ? 1 : -1;
      members[end++] = r;
      node = isAlong ? resistors[r].b : resistors[r].a;
      if (!isInner[node]) break;
      r = first[node] === r ? second[node] : first[node];
    }
    starts.push(end);
  };
  resistors.forEach(({ a, b }, r) => {
    if (!usable.resistor[r] || rowOf[r] >= 0) return;
    if (!isInner[a]) follow(r, a);
    else if (!isInner[b]) follow(r, b);
  });
  // Rings that touch nothing else: no source feeds them, so that it does not matter where they are opened.
  for (let r = 0; r < resistors.length; r++) if (usable.resistor[r] && rowOf[r] < 0) follow(r, resistors[r].a);
  const series = { starts: Int32Array.from(starts), members: members.slice(0, end), rowOf, direction };
  return { ...series, circuit: { ...circuit, resistors: rowsOf(series, circuit) } };
}

/** The same rows with the numbers of another circuit that has the same elements at the same nodes. */
export function withNumbers(series: Series, circuit: Circuit): Series {
  return { ...series, circuit: { ...circuit, resistors: rowsOf(series, circuit) } };
}

/** 1 where exactly two different usable resistors meet, and nothing else. */
function innerNodes(circuit: Circuit, usable: Usable): Uint8Array {
  const { nodeCount, resistors, sources, loads, stretches } = circuit;
  const degree = new Int32Array(nodeCount);
  const many = 3;
  resistors.forEach(({ a, b }, r) => {
    if (!usable.resistor[r]) return;
    degree[a] += a === b ? many : 1;
    degree[b] += 1;
  });
  sources.forEach(({ positive, negative }, id) => {
    if (usable.source[id]) degree[positive] = degree[negative] = many;
  });
  loads.forEach(({ positive, negative }, id) => {
    if (usable.load[id]) degree[positive] = degree[negative] = many;
  });
  stretches.forEach(({ positiveStart, negativeStart, positiveEnd, negativeEnd }, id) => {
    if (!usable.stretch[id]) return;
    degree[positiveStart] = degree[negativeStart] = many;
    degree[positiveEnd] = degree[negativeEnd] = many;
  });
  const isInner = new Uint8Array(nodeCount);
  for (let node = 0; node < nodeCount; node++) isInner[node] = degree[node] === 2 ? 1 : 0;
  return isInner;
}

/** The two resistors at each inner node. */
function incidence({ nodeCount, resistors }: Circuit, usable: Usable, isInner: Uint8Array) {
  const first = new Int32Array(nodeCount).fill(-1);
  const second = new Int32Array(nodeCount).fill(-1);
  const put = (node: number, r: number) => {
    if (first[node] < 0) first[node] = r;
    else second[node] = r;
  };
  resistors.forEach(({ a, b }, r) => {
    if (!usable.resistor[r]) return;
    if (isInner[a]) put(a, r);
    if (isInner[b]) put(b, r);
  });
  return { first, second };
}

function rowsOf({ starts, members, direction }: Omit<Series, 'circuit'>, { resistors }: Circuit): Resistor[] {
  return Array.from({ length: starts.length - 1 }, (_, row) => {
    const from = members[starts[row]];
    const to = members[starts[row + 1] - 1];
    let ohms = 0;
    for (let k = starts[row]; k < starts[row + 1]; k++) ohms += resistors[members[k]].ohms;
    return {
      a: direction[from] > 0 ? resistors[from].a : resistors[from].b,
      b: direction[to] > 0 ? resistors[to].b : resistors[to].a,
      ohms: Math.min(ohms, circuitLimits.mostOhms),
    };
  });
}

/**
 * The solution of the circuit from that of its rows: currents of all resistors, and the nodes between them (written
 * into the solution's own arrays). `isCut` tells the resistors that carry nothing.
 */
export function spreadSeries(
  series: Series,
  { resistors }: Circuit,
  solution: Solution,
  isCut: (resistor: number) => boolean,
): Solution {
  const { starts, members, direction, circuit } = series;
  const { nodeVolts, dead } = solution;
  const resistorAmps = new Float64Array(resistors.length);
  for (let row = 0; row < starts.length - 1; row++) {
    const amps = solution.resistorAmps[row];
    const { a, b } = circuit.resistors[row];
    // From either end up to the first cut, or all the way from a.
    const from = starts[row];
    const to = starts[row + 1];
    let volts = nodeVolts[a];
    let k = from;
    for (; k < to && !isCut(members[k]); k++) {
      const r = members[k];
      resistorAmps[r] = amps === 0 ? 0 : direction[r] * amps;
      if (k === to - 1) break;
      volts -= amps * resistors[r].ohms;
      const node = direction[r] > 0 ? resistors[r].b : resistors[r].a;
      nodeVolts[node] = volts;
      dead[node] = dead[a];
    }
    for (let back = to - 1; back > k && !isCut(members[back]); back--) {
      const r = members[back];
      const node = direction[r] > 0 ? resistors[r].a : resistors[r].b;
      nodeVolts[node] = nodeVolts[b];
      dead[node] = dead[b];
    }
  }
  return { ...solution, resistorAmps };
}
