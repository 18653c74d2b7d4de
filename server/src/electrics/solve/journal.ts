/** What nodes and elements were before a change that is only tried, so that it can be undone. */
import { IndexSet } from './index-set.ts';
import type { Network } from './network.ts';
import { regulation } from './regulated.ts';
import { firstBranch, firstTerminal } from './structure.ts';

export function openJournal(network: Network): void {
  const { structure, volts } = network;
  network.journal = { elements: new IndexSet(structure.elementCount), nodes: new IndexSet(volts.length), undo: [] };
}

/** Writes down the volts of a node before they are changed for the first time. */
export function saveNode(network: Network, node: number): void {
  const { journal, volts } = network;
  if (journal === null || journal.nodes.has(node)) return;
  journal.nodes.add(node);
  const before = volts[node];
  journal.undo.push(() => {
    volts[node] = before;
  });
}

/** Writes down what an element was before it is evaluated anew for the first time. */
export function saveElement(network: Network, e: number): void {
  const { journal, structure, flow, siemens, chains } = network;
  if (journal === null || journal.elements.has(e)) return;
  journal.elements.add(e);
  const t = firstTerminal(structure, e);
  const b = firstBranch(structure, e);
  if (e < structure.firstStretch) {
    const [amps, slope] = [flow[t], siemens[b]];
    journal.undo.push(() => {
      flow[t] = amps;
      flow[t + 1] = -amps;
      siemens[b] = slope;
    });
    return;
  }
  const flows = flow.slice(t, t + 4);
  const slopes = siemens.slice(b, b + 6);
  const id = e - structure.firstStretch;
  const chain = chains[id];
  const kept = chain && { ...chain, volts: chain.first > chain.last ? null : (chain.volts?.slice() ?? null) };
  journal.undo.push(() => {
    flow.set(flows, t);
    siemens.set(slopes, b);
    chains[id] = kept;
    network.regulated[id] = regulation.open;
  });
}
