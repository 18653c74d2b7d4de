/** Parts that only loads tie to the rest, found by walks from both sides: against plain walks over the whole network. */
import { expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { findLoose, isFed, islandOf, level } from '#server/electrics/solve/loose.ts';
import type { Network } from '#server/electrics/solve/network.ts';
import { firstTerminal } from '#server/electrics/solve/structure.ts';
import { constantAmps } from '../../support/circuits.ts';
import { networkOf } from '../../support/networks.ts';
import { randomCircuit, seededRandom } from '../../support/random-circuit.ts';

interface Tie {
  readonly element: number;
  readonly ends: readonly [number, number];
  readonly isTie: boolean;
}

/** A network of which some elements are taken out, and what is left of it as pairs of nodes. */
function torn(seed: number) {
  const random = seededRandom(seed);
  const { circuit } = randomCircuit(seed, { mostPixels: 40 });
  const pick = () => Math.floor(circuit.nodeCount * random());
  const more = Array.from({ length: 3 }, () => ({
    positive: pick(),
    negative: pick(),
    model: constantAmps(0.1),
    scale: 1,
  }));
  const whole: Circuit = { ...circuit, loads: [...circuit.loads, ...more] };
  const network = networkOf(whole);
  const { firstSource, firstLoad, firstStretch } = network.structure;
  for (let e = 0; e < firstLoad; e++) if (random() < 0.3) network.isLive[e] = 0;
  for (let node = 0; node < whole.nodeCount; node++) network.volts[node]! += random();
  const ties: Tie[] = [];
  const add = (element: number, a: number, b: number, isTie: boolean) => {
    if (network.isLive[element] === 1) ties.push({ element, ends: [a, b], isTie });
  };
  whole.resistors.forEach(({ a, b }, e) => add(e, a, b, true));
  whole.sources.forEach(({ positive, negative }, e) => add(firstSource + e, positive, negative, true));
  whole.loads.forEach(({ positive, negative }, e) => add(firstLoad + e, positive, negative, false));
  whole.stretches.forEach((s, e) => {
    add(firstStretch + e, s.positiveStart, s.positiveEnd, true);
    add(firstStretch + e, s.negativeStart, s.negativeEnd, true);
    add(firstStretch + e, s.positiveStart, s.negativeStart, false);
    add(firstStretch + e, s.positiveEnd, s.negativeEnd, false);
  });
  return { whole, network, ties, pick };
}

/** All nodes that can be reached from one, over ties alone or over anything. */
function reached(ties: readonly Tie[], from: number, overLoads: boolean): Set<number> {
  const seen = new Set([from]);
  for (let size = 0; size < seen.size; ) {
    size = seen.size;
    for (const { ends, isTie } of ties)
      if ((isTie || overLoads) && ends.some((node) => seen.has(node))) for (const node of ends) seen.add(node);
  }
  return seen;
}

const sorted = (nodes: Iterable<number>) => [...nodes].sort((a, b) => a - b);

test('which nodes hang together, and which of them a source feeds', () => {
  for (let seed = 900; seed < 940; seed++) {
    const { network, ties, pick } = torn(seed);
    const { firstSource, firstLoad } = network.structure;
    for (let i = 0; i < 6; i++) {
      const node = pick();
      const island = reached(ties, node, true);
      expect(sorted(islandOf(network, node)), `seed ${seed}`).toEqual(sorted(island));
      const isSource = ({ element, ends }: Tie) => element >= firstSource && element < firstLoad && island.has(ends[0]);
      expect(isFed(network, node), `seed ${seed}`).toBe(ties.some(isSource));
    }
  }
});

function crossings(ties: readonly Tie[], part: ReadonlySet<number>): Tie[] {
  return ties.filter(({ ends: [a, b], isTie }) => !isTie && part.has(a) !== part.has(b));
}

test('what a cut sets loose: nothing, or the first load between a part and the rest', () => {
  const seen = { together: 0, crossed: 0, alone: 0 };
  for (let seed = 900; seed < 960; seed++) {
    const { network, ties, pick } = torn(seed);
    for (let i = 0; i < 6; i++) {
      const [a, b] = i === 0 ? ([3, 3] as const) : ([pick(), pick()] as const);
      const [own, other] = [reached(ties, a, false), reached(ties, b, false)];
      const found = findLoose(network, a, b);
      if (own.has(b)) {
        expect(found, `seed ${seed}`).toBeUndefined();
        seen.together++;
        continue;
      }
      // Whichever of the two is the smaller one; of two of equal size either may be taken.
      const parts = [own, other].filter(({ size }) => size === Math.min(own.size, other.size));
      const firsts = parts.map((part) => {
        const elements = crossings(ties, part).map(({ element }) => element);
        return elements.length === 0 ? null : Math.min(...elements);
      });
      expect(firsts, `seed ${seed}: ${a}, ${b}`).toContain(found);
      if (found === null) seen.alone++;
      else seen.crossed++;
    }
  }
  expect(Math.min(...Object.values(seen))).toBeGreaterThan(5);
});

/** V across each load between the part on one side of it and the rest. */
function volts(network: Network, ties: readonly Tie[], crossing: number) {
  const t = firstTerminal(network.structure, crossing);
  const [a, b] = [network.structure.terminalNode[t]!, network.structure.terminalNode[t + 1]!];
  const [own, other] = [reached(ties, a, false), reached(ties, b, false)];
  return { own, other, across: ({ ends: [p, n] }: Tie) => network.volts[p]! - network.volts[n]! };
}

test('a loose part is put where its loads have 0 V, and none of them more', () => {
  let moved = 0;
  for (let seed = 900; seed < 1000; seed++) {
    const { network, ties } = torn(seed);
    for (const { element } of ties.filter(({ isTie }) => !isTie)) {
      const { own, other, across } = volts(network, ties, element);
      const before = network.volts.slice();
      network.changed.clear();
      const isMoved = level(network, element);
      if (own === other || own.has([...other][0]!)) {
        expect(isMoved).toBe(false);
        continue;
      }
      const shifted = [...before.keys()].filter((node) => network.volts[node] !== before[node]);
      if (!isMoved) {
        expect(shifted).toEqual([]);
        continue;
      }
      moved++;
      // One of the two as a whole, and all that hangs on it is looked at again.
      const part = [own, other].find((each) => String(sorted(each)) === String(sorted(shifted)))!;
      expect(part, `seed ${seed}`).toBeDefined();
      expect(part.size).toBe(Math.min(own.size, other.size));
      const [first] = shifted;
      const shift = network.volts[first!]! - before[first!]!;
      for (const node of shifted) expect(network.volts[node]! - before[node]!).toBeCloseTo(shift, 9);
      const touched = ties.filter(({ ends }) => ends.some((node) => part.has(node))).map((tie) => tie.element);
      for (const each of touched) expect(network.changed.has(each)).toBe(true);
      // The loads on the same side of it as the one that was asked about, in its direction.
      const isPositive = part === own;
      const all = crossings(ties, part).map((tie) => {
        return (isPositive === part.has(tie.ends[0]) ? 1 : -1) * across(tie);
      });
      expect(Math.max(...all), `seed ${seed}, ${element}`).toBeLessThan(1e-9);
      expect(Math.max(...all), `seed ${seed}, ${element}`).toBeGreaterThan(-1e-9);
    }
  }
  expect(moved).toBeGreaterThan(20);
});
