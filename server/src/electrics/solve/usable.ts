/** Which elements of a circuit can be solved: those that validation does not name. */
import type { Circuit } from '../circuit.ts';
import { validateCircuit } from '../validate.ts';

/** 1 where the element takes part. */
export interface Usable {
  readonly resistor: Uint8Array;
  readonly source: Uint8Array;
  readonly load: Uint8Array;
  readonly stretch: Uint8Array;
}

/** Undefined when the circuit as a whole is beyond what can be solved. */
export function usableElements(circuit: Circuit): Usable | undefined {
  const usable: Usable = {
    resistor: new Uint8Array(circuit.resistors.length).fill(1),
    source: new Uint8Array(circuit.sources.length).fill(1),
    load: new Uint8Array(circuit.loads.length).fill(1),
    stretch: new Uint8Array(circuit.stretches.length).fill(1),
  };
  for (const { element, id } of validateCircuit(circuit)) {
    if (element === 'circuit') return undefined;
    usable[element][id] = 0;
  }
  return usable;
}

/** Whether two circuits have the same elements at the same nodes, and the same of them fit for use. */
export function isSameShape(circuit: Circuit, usable: Usable, other: Circuit, otherUsable: Usable): boolean {
  return (
    circuit.nodeCount === other.nodeCount &&
    isSame(usable.resistor, otherUsable.resistor) &&
    isSame(usable.source, otherUsable.source) &&
    isSame(usable.load, otherUsable.load) &&
    isSame(usable.stretch, otherUsable.stretch) &&
    circuit.resistors.every((r, id) => r.a === other.resistors[id].a && r.b === other.resistors[id].b) &&
    circuit.sources.every((s, id) => isSamePair(s, other.sources[id])) &&
    circuit.loads.every((l, id) => isSamePair(l, other.loads[id])) &&
    circuit.stretches.every(({ positiveStart, negativeStart, positiveEnd, negativeEnd }, id) => {
      const s = other.stretches[id];
      const isSameStart = positiveStart === s.positiveStart && negativeStart === s.negativeStart;
      return isSameStart && positiveEnd === s.positiveEnd && negativeEnd === s.negativeEnd;
    })
  );
}

type Pair = { readonly positive: number; readonly negative: number };
const isSamePair = (a: Pair, b: Pair) => a.positive === b.positive && a.negative === b.negative;
const isSame = (a: Uint8Array, b: Uint8Array) => a.length === b.length && a.every((value, i) => value === b[i]);
