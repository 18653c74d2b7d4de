/** Which nodes hang together, which of them are fed, and a first guess of their volts. */
import type { RowCircuit } from './series.ts';
import type { Usable } from './usable.ts';

export interface Islands {
  /** 1 where no source feeds the node's island. */
  readonly dead: Uint8Array;
  /** The node held at 0 V in each fed island: the negative terminal of its first source. */
  readonly isReference: Uint8Array;
  /** Volts of every node as if no current flowed: rails level, each source at its set voltage. */
  readonly guess: Float64Array;
  /** The loads and stretches that alone join some part to the rest: no current can return from there. */
  readonly loose: { readonly loads: readonly number[]; readonly stretches: readonly number[] };
}

/**
 * One pass of union-find in which each node knows its volts over its parent. Conductors join first (no drop), then
 * sources (their volts), then loads (a rail that nothing but loads reaches takes the volts of their other side).
 */
export function findIslands(circuit: RowCircuit, usable: Usable): Islands {
  const { nodeCount, rows, sources, loads, stretches } = circuit;
  const sets = new LevelledSets(nodeCount);
  for (let row = 0; row < rows.count; row++) if (usable.resistor[row]) sets.join(rows.a[row], rows.b[row], 0);
  for (let id = 0; id < stretches.length; id++) {
    if (!usable.stretch[id]) continue;
    const { positiveStart, positiveEnd, negativeStart, negativeEnd } = stretches[id];
    sets.join(positiveStart, positiveEnd, 0);
    sets.join(negativeStart, negativeEnd, 0);
  }
  // The lowest first: then every source that shares a rail with others starts out delivering.
  const rising = sources.filter((_, id) => usable.source[id]).sort((a, b) => a.volts - b.volts);
  for (const { positive, negative, volts } of rising) sets.join(positive, negative, volts);
  const looseLoads: number[] = [];
  for (let id = 0; id < loads.length; id++) {
    if (usable.load[id] && sets.join(loads[id].positive, loads[id].negative, 0)) looseLoads.push(id);
  }
  const looseStretches: number[] = [];
  for (let id = 0; id < stretches.length; id++) {
    const { positiveStart, negativeStart } = stretches[id];
    if (usable.stretch[id] && sets.join(positiveStart, negativeStart, 0)) looseStretches.push(id);
  }

  const dead = new Uint8Array(nodeCount).fill(1);
  const isReference = new Uint8Array(nodeCount);
  const base = new Float64Array(nodeCount);
  sources.forEach((source, id) => {
    if (!usable.source[id]) return;
    const root = sets.find(source.negative);
    if (!dead[root]) return;
    dead[root] = 0;
    isReference[source.negative] = 1;
    base[root] = sets.levelFound;
  });
  const guess = new Float64Array(nodeCount);
  for (let node = 0; node < nodeCount; node++) {
    const root = sets.find(node);
    dead[node] = dead[root];
    guess[node] = dead[root] ? NaN : sets.levelFound - base[root];
  }
  return {
    dead,
    isReference,
    guess,
    loose: {
      loads: looseLoads.filter((id) => !dead[loads[id].positive]),
      stretches: looseStretches.filter((id) => !dead[stretches[id].positiveStart]),
    },
  };
}

class LevelledSets {
  /** Volts of the node last looked for over the root of its set. */
  levelFound = NaN;
  private readonly parent: Int32Array;
  /** Volts of a node over its parent. */
  private readonly rise: Float64Array;

  constructor(count: number) {
    this.parent = new Int32Array(count);
    for (let i = 0; i < count; i++) this.parent[i] = i;
    this.rise = new Float64Array(count);
  }

  /** Joins the sets of a and b, with a standing `volts` over b; false when they are joined already. */
  join(a: number, b: number, volts: number): boolean {
    const rootA = this.find(a);
    const levelA = this.levelFound;
    const rootB = this.find(b);
    if (rootA === rootB) return false;
    this.rise[rootA] = volts + this.levelFound - levelA;
    this.parent[rootA] = rootB;
    return true;
  }

  /** The root of a node's set; leaves the node's volts over it in `levelFound`. */
  find(node: number): number {
    const { parent, rise } = this;
    let root = node;
    let level = 0;
    while (parent[root] !== root) {
      level += rise[root];
      root = parent[root];
    }
    this.levelFound = level;
    for (let i = node; parent[i] !== root && i !== root; ) {
      const up = parent[i];
      const own = rise[i];
      parent[i] = root;
      rise[i] = level;
      level -= own;
      i = up;
    }
    return root;
  }
}
