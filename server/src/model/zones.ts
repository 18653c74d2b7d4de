import { sure } from '#grammar/sure.ts';
import type { IslandCircuit } from './to-circuit.ts';

/**
 * Which nodes are joined by metal: conductors, contacts, fuses and the rails of strings. V+ and ground never are,
 * since only loads and supplies stand between them.
 */
export class Zones {
  private readonly parent: Int32Array;

  constructor({ circuit }: IslandCircuit) {
    this.parent = Int32Array.from({ length: circuit.nodeCount }, (_, node) => node);
    for (const { a, b } of circuit.resistors) this.join(a, b);
    for (const stretch of circuit.stretches) {
      this.join(stretch.positiveStart, stretch.positiveEnd);
      this.join(stretch.negativeStart, stretch.negativeEnd);
    }
  }

  /** The zone of a node, as the number of one of its nodes. */
  of(node: number): number {
    let at = node;
    for (;;) {
      const up = sure(this.parent[at]);
      if (up === at) return at;
      const next = sure(this.parent[up]);
      this.parent[at] = next;
      at = next;
    }
  }

  /** Those of a circuit, found once: it does not change. */
  static in(circuit: IslandCircuit): Zones {
    let zones = zonesOf.get(circuit);
    if (zones === undefined) {
      zones = new Zones(circuit);
      zonesOf.set(circuit, zones);
    }
    return zones;
  }

  joined(a: number, b: number): boolean {
    return this.of(a) === this.of(b);
  }

  private join(a: number, b: number): void {
    this.parent[this.of(a)] = this.of(b);
  }
}

const zonesOf = new WeakMap<IslandCircuit, Zones>();
