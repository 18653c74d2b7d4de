import fc from 'fast-check';
import { expect, it } from 'vitest';
import { type Candidate, chooseCandidates, compareLists } from '#server/planning/choose.ts';

/** The choice for a whole display is what trying every combination gives. */

const candidate: fc.Arbitrary<Candidate> = fc
  .record({
    cost: fc.array(fc.integer({ min: 0, max: 4 }), { minLength: 3, maxLength: 3 }),
    a: fc.integer({ min: 0, max: 3 }),
    b: fc.integer({ min: 0, max: 3 }),
  })
  .map(({ cost, a, b }) => ({
    cost,
    uses: new Map([
      ['a', a],
      ['b', b],
    ]),
  }));

/** Every combination, one candidate or none for each group, that keeps to the limits; the least cost of them. */
function leastOf(groups: readonly (readonly Candidate[])[], limits: ReadonlyMap<string, number>): number[] {
  let best: number[] | undefined;
  const visit = (at: number, cost: number[], used: Map<string, number>) => {
    const group = groups[at];
    if (group === undefined) {
      const fits = [...limits].every(([what, most]) => (used.get(what) ?? 0) <= most);
      if (fits && (best === undefined || compareLists(cost, best) < 0)) best = cost;
      return;
    }
    visit(at + 1, [(cost[0] ?? 0) + 1, ...cost.slice(1)], used);
    for (const option of group) {
      const sums = new Map(used);
      for (const [what, amount] of option.uses) sums.set(what, (sums.get(what) ?? 0) + amount);
      visit(
        at + 1,
        cost.map((value, index) => value + (index === 0 ? 0 : (option.cost[index - 1] ?? 0))),
        sums,
      );
    }
  };
  visit(0, [0, 0, 0, 0], new Map());
  return best ?? [];
}

it('chooses what costs least within the limits', () => {
  let bounded = 0;
  fc.assert(
    fc.property(
      fc.array(fc.array(candidate, { minLength: 1, maxLength: 3 }), { minLength: 1, maxLength: 5 }),
      fc.integer({ min: 0, max: 8 }),
      fc.integer({ min: 0, max: 8 }),
      (groups, a, b) => {
        const limits = new Map([
          ['a', a],
          ['b', b],
        ]);
        const { cost, bound, picks } = chooseCandidates(groups, limits);
        expect(cost).toEqual(leastOf(groups, limits));
        expect(bound).toEqual(cost);
        expect(picks.filter((pick) => pick === undefined)).toHaveLength(cost[0] ?? 0);
        // Cut short, it still knows how far off it may be.
        const hasty = chooseCandidates(groups, limits, 1);
        expect(compareLists(hasty.bound, cost)).toBeLessThanOrEqual(0);
        expect(compareLists(hasty.cost, cost)).toBeGreaterThanOrEqual(0);
        if (compareLists(hasty.cost, cost) > 0) bounded++;
      },
    ),
    { seed: 5, numRuns: 300 },
  );
  expect(bounded).toBeGreaterThan(0);
});

it('leaves nothing out that may be had', () => {
  // One cable may pass: the cheap answer of each run needs it, the dear one of the second does not.
  const cheap: Candidate = { cost: [1, 1, 1], uses: new Map([['route', 1]]) };
  const dear: Candidate = { cost: [0, 3, 9], uses: new Map() };
  expect(chooseCandidates([[cheap], [cheap, dear]], new Map([['route', 1]]))).toMatchObject({
    picks: [0, 1],
    cost: [0, 1, 4, 10],
  });
});

it('what has no limit is used at will, beside what has one', () => {
  const uses = new Map([
    ['free', 99],
    ['scarce', 1],
  ]);
  const one: Candidate = { cost: [1, 0, 0], uses };
  expect(chooseCandidates([[one], [one]], new Map([['scarce', 2]])).picks).toEqual([0, 0]);
  expect(chooseCandidates([[one], [one]], new Map([['scarce', 1]])).cost).toEqual([1, 1, 0, 0]);
});
