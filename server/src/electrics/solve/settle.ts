/** From a network's present numbers to a solution: Newton's method, and the level of parts that it says nothing of. */
import { evaluate, markDirty } from './evaluate.ts';
import { level } from './loose.ts';
import type { Network } from './network.ts';
import { type NewtonResult, solveNewton } from './newton.ts';
import { firstTerminal, terminalCount } from './structure.ts';

/** Each level that is set may shift another by the little current that loads draw near 0 V. */
const mostRounds = 10;

/** Solves the network. `active` keeps the rows that took part until the caller empties it. */
export function settle(network: Network): NewtonResult {
  let result = solveNewton(network);
  let iterations = result.iterations;
  for (let round = 0; round < mostRounds && result.isSolved; round++) {
    let isMoved = false;
    for (const crossing of network.loose) if (level(network, crossing)) isMoved = true;
    if (!isMoved) break;
    result = solveNewton(network);
    iterations += result.iterations;
  }
  return { isSolved: result.isSolved, iterations };
}

/** Puts everything back that changed since the journal was opened, and closes it. */
export function undoAll(network: Network): void {
  const { journal, changed, stale, active, structure } = network;
  if (journal === null) return;
  network.journal = null;
  for (const undo of journal.undo) undo();
  changed.clear();
  for (let k = 0; k < journal.elements.size; k++) {
    const e = journal.elements.items[k];
    markDirty(network, e);
    const t = firstTerminal(structure, e);
    for (let i = t; i < t + terminalCount(structure, e); i++) stale.add(structure.terminalNode[i]);
  }
  evaluate(network);
  active.clear();
}
