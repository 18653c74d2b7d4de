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
