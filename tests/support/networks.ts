/** A circuit made ready for solving, with each resistor as a row of its own, for tests of single steps. */
import type { Circuit } from '#server/electrics/circuit.ts';
import { buildNetwork, type Network } from '#server/electrics/solve/network.ts';
import { singleRows } from '#server/electrics/solve/series.ts';
import { usableElements } from '#server/electrics/solve/usable.ts';

export function networkOf(circuit: Circuit): Network {
  const usable = usableElements(circuit);
  if (usable === undefined) throw new Error('the circuit cannot be solved');
  return buildNetwork(singleRows(circuit), usable);
}
