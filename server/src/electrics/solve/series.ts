/**
 * Resistors in series as one: a feed is a fuse, a cable and a connector one behind another, and nothing branches off
 * between them. Solving for the joints alone leaves a third of the unknowns; the nodes between are read off afterwards.
 */
import type { Circuit } from '../circuit.ts';
import type { Solution } from '../solution.ts';
import { circuitLimits } from '../validate.ts';
import { none } from './none.ts';
import type { Usable } from './usable.ts';

/** Rows of resistors, each as one between its two ends. */
export interface Rows {
  readonly count: number;
  readonly a: Int32Array;
  readonly b: Int32Array;
  readonly ohms: Float64Array;
}

/** A circuit with its resistors by rows; its other elements, and all node numbers, are as before. */
export type RowCircuit = Omit<Circuit, 'resistors'> & { readonly rows: Rows };

export interface Series {
  readonly circuit: RowCircuit;
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
  const count = resistors.length;
  const isInner = innerNodes(circuit, usable);
  const { first, second } = incidence(circuit, usable, isInner);
  const rowOf = new Int32Array(count).fill(none);
  const direction = new Int8Array(count);
  const members = new Int32Array(count);
  const starts = new Int32Array(count + 1);
  let rows = 0;
  let end = 0;
  const follow = (from: number, start: number) => {
    let node = start;
    for (let r = from; r !== none && rowOf[r] === none; ) {
      const { a, b } = resistors[r];
      const isAlong = a === node;
      rowOf[r] = rows;
      direction[r] = isAlong ? 1 : -1;
      members[end++] = r;
      node = isAlong ? b : a;
      r = first[node] === r ? second[node] : first[node];
    }
    starts[++rows] = end;
  };
  for (let r = 0; r < count; r++) {
    if (!usable.resistor[r] || rowOf[r] !== none) continue;
    const { a, b } = resistors[r];
    if (!isInner[a]) follow(r, a);
    else if (!isInner[b]) follow(r, b);
  }
  // Rings that touch nothing else: no source feeds them, so that it does not matter where they are opened.
  for (let r = 0; r < count; r++) if (usable.resistor[r] && rowOf[r] === none) follow(r, resistors[r].a);
  return withNumbers({ starts: starts.slice(0, rows + 1), members: members.slice(0, end), rowOf, direction }, circuit);
}

/** The same rows with the numbers of a circuit that has these elements at these nodes. */
export function withNumbers(series: Omit<Series, 'circuit'>, circuit: Circuit): Series {
  const { nodeCount, sources, loads, stretches } = circuit;
  return { ...series, circuit: { nodeCount, sources, loads, stretches, rows: addRows(series, circuit) } };
}

/** The circuit with each resistor as a row of its own. */
export function singleRows(circuit: Circuit): RowCircuit {
  const { nodeCount, resistors, sources, loads, stretches } = circuit;
  const rows: Rows = {
    count: resistors.length,
    a: Int32Array.from(resistors, ({ a }) => a),
    b: Int32Array.from(resistors, ({ b }) => b),
    ohms: Float64Array.from(resistors, ({ ohms }) => ohms),
  };
  return { nodeCount, rows, sources, loads, stretches };
}

/** 1 where exactly two different usable resistors meet, and nothing else. */
function innerNodes(circuit: Circuit, usable: Usable): Uint8Array {
  const { nodeCount, resistors, sources, loads, stretches } = circuit;
  // Ends of resistors at each node, but no more than matters, and so many where anything else is.
  const degree = new Uint8Array(nodeCount);
  const many = 3;
  for (let r = 0; r < resistors.length; r++) {
    if (!usable.resistor[r]) continue;
    const { a, b } = resistors[r];
    if (degree[a] < many) degree[a] += a === b ? many : 1;
    if (degree[b] < many) degree[b]++;
  }
  for (let id = 0; id < sources.length; id++) {
    if (usable.source[id]) degree[sources[id].positive] = degree[sources[id].negative] = many;
  }
  for (let id = 0; id < loads.length; id++) {
    if (usable.load[id]) degree[loads[id].positive] = degree[loads[id].negative] = many;
  }
  for (let id = 0; id < stretches.length; id++) {
    if (!usable.stretch[id]) continue;
    const { positiveStart, negativeStart, positiveEnd, negativeEnd } = stretches[id];
    degree[positiveStart] = degree[negativeStart] = degree[positiveEnd] = degree[negativeEnd] = many;
  }
  for (let node = 0; node < nodeCount; node++) degree[node] = degree[node] === 2 ? 1 : 0;
  return degree;
}

/** The two resistors at each inner node; the first is -1 at others, where a row ends. */
function incidence({ nodeCount, resistors }: Circuit, usable: Usable, isInner: Uint8Array) {
  const first = new Int32Array(nodeCount).fill(none);
  const second = new Int32Array(nodeCount);
  for (let r = 0; r < resistors.length; r++) {
    if (!usable.resistor[r]) continue;
    const { a, b } = resistors[r];
    if (isInner[a]) {
      if (first[a] === none) first[a] = r;
      else second[a] = r;
    }
    if (isInner[b]) {
      if (first[b] === none) first[b] = r;
      else second[b] = r;
    }
  }
  return { first, second };
}

/** The ends and the resistance of each row. */
function addRows({ starts, members, direction }: Omit<Series, 'circuit'>, { resistors }: Circuit): Rows {
  const count = starts.length - 1;
  const rows: Rows = { count, a: new Int32Array(count), b: new Int32Array(count), ohms: new Float64Array(count) };
  for (let row = 0; row < count; row++) {
    let sum = 0;
    for (let k = starts[row]; k < starts[row + 1]; k++) {
      const { a, b, ohms } = resistors[members[k]];
      const isAlong = direction[members[k]] === 1;
      if (k === starts[row]) rows.a[row] = isAlong ? a : b;
      rows.b[row] = isAlong ? b : a;
      sum += ohms;
    }
    rows.ohms[row] = Math.min(sum, circuitLimits.mostOhms);
  }
  return rows;
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
  const { starts, members, direction } = series;
  const { rows } = series.circuit;
  const { nodeVolts, dead } = solution;
  const resistorAmps = new Float64Array(resistors.length);
  for (let row = 0; row < starts.length - 1; row++) {
    const amps = solution.resistorAmps[row];
    const a = rows.a[row];
    const b = rows.b[row];
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
      const node = direction[r] === 1 ? resistors[r].b : resistors[r].a;
      nodeVolts[node] = volts;
      dead[node] = dead[a];
    }
    for (let back = to - 1; back > k && !isCut(members[back]); back--) {
      const r = members[back];
      const node = direction[r] === 1 ? resistors[r].a : resistors[r].b;
      nodeVolts[node] = nodeVolts[b];
      dead[node] = dead[b];
    }
  }
  return { ...solution, resistorAmps };
}
