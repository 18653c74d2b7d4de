import { inverse, solveSmall } from './dense.ts';

/** One rail: volts lost between the supply and each node, and how they change with a current fed in. */
export class Rail {
  private readonly index = new Map<number, number>();
  private readonly transfer: readonly Float64Array[];
  private readonly drops: Float64Array;
  private readonly room: Float64Array;
  private matrix = new Float64Array(0);
  private fed = new Float64Array(0);

  constructor(edges: readonly Edge[], held: ReadonlySet<number>) {
    for (const { a, b } of edges)
      for (const node of [a, b]) if (!held.has(node) && !this.index.has(node)) this.index.set(node, this.index.size);
    const size = this.index.size;
    const matrix = Array.from({ length: size }, () => new Float64Array(size));
    const drawn = new Float64Array(size);
    const add = (row: number, column: number, siemens: number) => {
      const line = matrix[row];
      if (line !== undefined && column >= 0) line[column] = (line[column] as number) + siemens;
    };
    for (let node = 0; node < size; node++) add(node, node, LEAK);
    for (const { a, b, ohms, aAmps, bAmps } of edges) {
      const [i, j] = [this.indexOf(a), this.indexOf(b)];
      const siemens = 1 / ohms;
      if (i >= 0) {
        add(i, i, siemens);
        add(i, j, -siemens);
        drawn[i] = (drawn[i] as number) + aAmps;
      }
      if (j >= 0) {
        add(j, j, siemens);
        add(j, i, -siemens);
        drawn[j] = (drawn[j] as number) + bAmps;
      }
    }
    this.transfer = inverse(matrix);
    this.drops = Float64Array.from(this.transfer, (row) =>
      row.reduce((sum, ohms, at) => sum + ohms * (drawn[at] as number), 0),
    );
    this.room = new Float64Array(size);
  }

  /** -1 for a node that is held at the supply. */
  indexOf(node: number): number {
    return this.index.get(node) ?? -1;
  }

  /**
   * Volts lost at each node with feeds at some joints: with Z the transfer resistances, F those that the feeds have in
   * common and d the drops without them, the feeds carry c = (Z + F)^-1 d, and each node gains Z c. The next call writes
   * over what this one gave.
   */
  dropsWith(joints: readonly number[], branches: Float64Array): Float64Array {
    const { room: drops } = this;
    drops.set(this.drops);
    const size = joints.length;
    if (this.matrix.length < size * size) this.matrix = new Float64Array(size * size);
    if (this.fed.length < size) this.fed = new Float64Array(size);
    const { matrix, fed } = this;
    for (let row = 0; row < size; row++) {
      const i = joints[row] as number;
      fed[row] = i < 0 ? 0 : (this.drops[i] as number);
      for (let column = 0; column < size; column++)
        matrix[row * size + column] =
          this.ohms(i, joints[column] as number) + (branches[row * size + column] as number);
    }
    solveSmall(matrix, fed, size);
    for (let index = 0; index < size; index++) {
      const row = this.transfer[joints[index] as number];
      if (row === undefined) continue;
      const amps = fed[index] as number;
      for (let node = 0; node < drops.length; node++)
        drops[node] = (drops[node] as number) - (row[node] as number) * amps;
    }
    return drops;
  }

  private ohms(i: number, j: number): number {
    const row = this.transfer[i];
    return row === undefined || j < 0 ? 0 : (row[j] as number);
  }
}

export interface Edge {
  readonly a: number;
  readonly b: number;
  readonly ohms: number;
  readonly aAmps: number;
  readonly bAmps: number;
}

/** Siemens to the supply where a rail has no other way to it, so that its matrix can be inverted. */
const LEAK = 1e-3;
