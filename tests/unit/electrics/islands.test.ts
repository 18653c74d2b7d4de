/** Which nodes hang together, what feeds them, and the first guess: against a plain walk over all elements. */
import { describe, expect, test } from 'vitest';
import type { Circuit } from '#server/electrics/circuit.ts';
import { IndexSet } from '#server/electrics/solve/index-set.ts';
import { findIslands } from '#server/electrics/solve/islands.ts';
import { singleRows } from '#server/electrics/solve/series.ts';
import { usableElements } from '#server/electrics/solve/usable.ts';
import { circuitOf, constantAmps, ideal } from '../../support/circuits.ts';
import { seededRandom } from '../../support/random-circuit.ts';

const model = constantAmps(0.1);

/** A few elements of every kind between random nodes, some of them unusable. */
function scattered(seed: number): Circuit {
  const random = seededRandom(seed);
  const nodeCount = 2 + Math.floor(14 * random());
  const node = () => Math.floor(nodeCount * random());
  const few = (most: number) => Array.from({ length: Math.floor((most + 1) * random()) });
  return circuitOf({
    nodeCount,
    resistors: few(8).map(() => ({ a: node(), b: node(), ohms: random() < 0.1 ? 0 : 1 })),
    sources: few(3).map(() => ideal(node(), node(), random() < 0.1 ? 0 : 5 + Math.floor(9 * random()))),
    loads: few(3).map(() => ({ positive: node(), negative: node(), model, scale: random() < 0.1 ? -1 : 1 })),
    stretches: few(2).map(() => ({
      positiveStart: node(),
      negativeStart: node(),
      positiveEnd: node(),
      negativeEnd: node(),
      count: random() < 0.1 ? 0 : 3,
      positiveOhms: 1,
      negativeOhms: 1,
      model,
      scale: 1,
    })),
  });
}

/** Nodes that can be reached from each other over these pairs. */
function parts(nodeCount: number, pairs: readonly (readonly [number, number])[]): number[] {
  const part = Array.from({ length: nodeCount }, (_, i) => i);
  for (let changed = true; changed; ) {
    changed = false;
    for (const [a, b] of pairs) {
      const least = Math.min(part[a]!, part[b]!);
      if (part[a] !== least || part[b] !== least) changed = true;
      part[a] = part[b] = least;
    }
  }
  return part;
}

test('dead nodes, references, loose parts and levels', () => {
  for (let seed = 1; seed <= 200; seed++) {
    const circuit = scattered(seed);
    const usable = usableElements(circuit)!;
    const { dead, isReference, guess, loose } = findIslands(singleRows(circuit), usable);
    const resistors = circuit.resistors.filter((_, id) => usable.resistor[id]);
    const sources = circuit.sources.filter((_, id) => usable.source[id]);
    const loads = circuit.loads.filter((_, id) => usable.load[id]);
    const stretches = circuit.stretches.filter((_, id) => usable.stretch[id]);
    const rails = [
      ...resistors.map(({ a, b }) => [a, b] as const),
      ...stretches.flatMap((s) => [
        [s.positiveStart, s.positiveEnd] as const,
        [s.negativeStart, s.negativeEnd] as const,
      ]),
    ];
    const poles = sources.map(({ positive, negative }) => [positive, negative] as const);
    const across = [
      ...loads.map(({ positive, negative }) => [positive, negative] as const),
      ...stretches.map((s) => [s.positiveStart, s.negativeStart] as const),
    ];
    const island = parts(circuit.nodeCount, [...rails, ...poles, ...across]);
    const level = parts(circuit.nodeCount, rails);
    const tied = parts(circuit.nodeCount, [...rails, ...poles]);
    const fed = new Set(sources.map(({ negative }) => island[negative]));
    const firstOf = new Map<number | undefined, number>();
    for (const { negative } of sources) if (!firstOf.has(island[negative])) firstOf.set(island[negative], negative);
    for (let node = 0; node < circuit.nodeCount; node++) {
      expect(dead[node] === 1, `seed ${seed}, node ${node}`).toBe(!fed.has(island[node]));
      expect(isReference[node] === 1).toBe(firstOf.get(island[node]) === node);
      if (dead[node] === 1) expect(guess[node]).toBeNaN();
      else expect(guess[node]).toBeCloseTo(guess[level[node]!]!, 12);
      if (isReference[node] === 1) expect(guess[node]).toBeCloseTo(0, 12);
    }
    // A load crosses to a loose part: what rails and sources tie together is fewer parts than all of it would be.
    const { nodeCount } = circuit;
    const live = (part: readonly number[]) => {
      const nodes = [...Array(nodeCount).keys()].filter((node) => dead[node] === 0);
      return new Set(nodes.map((node) => part[node])).size;
    };
    expect(loose.loads.length + loose.stretches.length, `seed ${seed}`).toBe(live(tied) - live(island));
    for (const id of loose.loads) {
      const { positive, negative } = circuit.loads[id]!;
      expect(usable.load[id] === 1 && tied[positive] !== tied[negative]).toBe(true);
      expect(guess[positive]).toBeCloseTo(guess[negative]!, 12);
    }
    for (const id of loose.stretches) {
      const { positiveStart, negativeStart } = circuit.stretches[id]!;
      expect(usable.stretch[id] === 1 && tied[positiveStart] !== tied[negativeStart]).toBe(true);
      expect(guess[positiveStart]).toBeCloseTo(guess[negativeStart]!, 12);
    }
    // Sources that close no loop stand at their own volts.
    if (sources.length === 1 && level[sources[0]!.positive] !== level[sources[0]!.negative])
      expect(guess[sources[0]!.positive]! - guess[sources[0]!.negative]!).toBeCloseTo(sources[0]!.volts, 12);
  }
});

test('of sources on common rails the lowest sets the level, so that all others start out delivering', () => {
  for (const volts of [
    [12, 11.9, 12.1],
    [11.9, 12.1, 12],
    [12.1, 12, 11.9],
  ]) {
    const circuit = circuitOf({ nodeCount: 2, sources: volts.map((each) => ideal(0, 1, each)) });
    expect([...findIslands(singleRows(circuit), usableElements(circuit)!).guess]).toEqual([11.9, 0]);
  }
});

describe('a set of whole numbers', () => {
  test('does what a set does', () => {
    const random = seededRandom(51);
    for (let round = 0; round < 50; round++) {
      const n = 1 + Math.floor(40 * random());
      const own = new IndexSet(n);
      for (let fill = 0; fill < 3; fill++) {
        const plain = new Set<number>();
        for (let i = Math.floor(2 * n * random()); i > 0; i--) {
          const each = Math.floor(n * random());
          own.add(each);
          plain.add(each);
        }
        expect([...own.items.slice(0, own.size)]).toEqual([...plain]);
        for (let i = 0; i < n; i++) expect(own.has(i)).toBe(plain.has(i));
        expect(own.isLarge()).toBe(4 * plain.size > n);
        own.sort();
        expect([...own.items.slice(0, own.size)]).toEqual([...plain].sort((a, b) => a - b));
        if (fill === 1) {
          own.addAll();
          expect([...own.items]).toEqual([...Array(n).keys()]);
          expect(own.size).toBe(n);
          for (let i = 0; i < n; i++) expect(own.has(i)).toBe(true);
        }
        own.clear();
        expect(own.size).toBe(0);
        for (let i = 0; i < n; i++) expect(own.has(i)).toBe(false);
      }
    }
  });
});
