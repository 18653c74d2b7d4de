import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { Analysis } from '#server/analysis/analysis.ts';
import type { SuggestContext } from '#server/checks/check.ts';
import { worsens } from '#server/checks/worsens.ts';
import type { Edit } from '#server/model/finding.ts';
import type { Board, Run, Supply } from '#server/model/plan.ts';
import { type Choice, type Cost, choicesFor, compareCosts, costOf, spotsOfSupply } from '#server/planning/choice.ts';
import { SEARCH_OPTIONS, searchInjection } from '#server/planning/injection-search.ts';
import { fuseRange, outputsFor } from '#server/planning/outputs.ts';
import { cablesFor, ownersFor, passing, supplyOf } from '#server/planning/reach.ts';
import { type Spot, spotsOf } from '#server/planning/spots.ts';
import { CURED_BY_INJECTION, Trial } from '#server/planning/trial.ts';
import { editsOf } from '#server/planning/write-answer.ts';
import { bulletPart } from '../../support/parts.ts';
import { analysePlan } from '../../support/plans.ts';

/** The search finds what trying everything finds, and a trial on the network says what the plan as a whole says. */

interface Shape {
  readonly counts: readonly number[];
  readonly gapDm: number;
  readonly leadDm: number;
  readonly supplies: number;
  readonly room: number | undefined;
  readonly tolerance: boolean;
  readonly powered: boolean;
  readonly fed: boolean;
  readonly board: boolean;
  readonly matrix: boolean;
  readonly priced: boolean;
}

const shape: fc.Arbitrary<Shape> = fc.record({
  counts: fc.array(fc.integer({ min: 15, max: 110 }), { minLength: 1, maxLength: 3 }),
  gapDm: fc.integer({ min: 0, max: 12 }),
  leadDm: fc.integer({ min: 5, max: 40 }),
  supplies: fc.integer({ min: 1, max: 2 }),
  room: fc.option(fc.integer({ min: 1, max: 3 }), { nil: undefined }),
  tolerance: fc.boolean(),
  powered: fc.boolean(),
  fed: fc.boolean(),
  board: fc.boolean(),
  matrix: fc.boolean(),
  priced: fc.boolean(),
});

/** The best of at most four taps takes two cables through the route; five taps could do with one. */
const MORE_TAPS: Shape = {
  counts: [62, 50, 81],
  gapDm: 10,
  leadDm: 6,
  supplies: 1,
  room: 3,
  tolerance: true,
  powered: true,
  fed: true,
  board: false,
  matrix: true,
  priced: false,
};

function planOf(drawn: Shape): string {
  const { counts, gapDm, leadDm, supplies, room, tolerance, powered, fed, board, matrix, priced } = drawn;
  const strings = counts.map(
    (count, index) =>
      `${index > 0 && gapDm > 0 ? `  gap ${gapDm / 10} m\n` : ''}  ${matrix && index === 0 ? `matrix s1  3 strands x ${Math.ceil(count / 3)} px` : `string s${index + 1}  ${count} px`}  of bullet  every 80 mm`,
  );
  const psu = (name: string) =>
    `supply ${name}  of psu-part  at shed {\n  set 12.2 V\n  output 1  fuse 10 A\n${board ? '  output 3\n' : ''}}\n`;
  return `plan "drawn" {
  air 0 degC to 20 degC
${tolerance ? '  tolerance supplies 1 % pixels 5 %\n' : ''}}
${bulletPart('rated 5 A')}part cable lead {
  conductor 18 AWG
  carries ${powered ? 'V+ ground data' : 'ground data'}
}
part cable two-core-16 {
  conductor 16 AWG
  carries V+ ground
${priced ? '  price 6 EUR\n' : ''}}
part cable two-core-12 {
  conductor 12 AWG
  carries V+ ground
${priced ? '  price 45 EUR for 10 m\n' : ''}}
part supply psu-part {
  voltage 12 V
  adjust 11 V to 13 V
  rated 40 A
}
part controller board {
  ports 4
  port-fuse 5 A
}
place shed
place roof
route shed to roof  6 m${room === undefined ? '' : `  limit ${room} cables`}
${Array.from({ length: supplies }, (_, index) => psu(`psu-${index + 1}`)).join('')}${board ? 'board side  from psu-1.3  6 m  of two-core-12 x 2  at roof {\n  output 1  fuse 10 A\n  output 2  fuse 5 A\n}\n' : ''}controller box  of board  at shed  from psu-1.1
run long  from box.1  at roof {
  lead ${leadDm / 10} m  of lead
${strings.join('\n')}
}
${fed ? 'feed long-first  from psu-1.2  to long[8]  8 m  of two-core-16\n' : ''}`.replace(
    fed ? 'output 1  fuse 10 A' : '\0',
    'output 1  fuse 10 A\n  output 2  fuse 5 A',
  );
}

function subsets<T>(items: readonly T[], most: number): T[][] {
  const sets: T[][] = [[]];
  for (const item of items) for (const set of [...sets]) if (set.length < most) sets.push([...set, item]);
  return sets;
}

interface Tried {
  readonly choice: Choice;
  readonly spots: readonly Spot[];
  readonly cost: Cost;
}

/** Every set of places with every choice, each tried on the plan as a whole; those that hold. */
function tryEverything(ctx: Analysis & SuggestContext, run: Run, places: readonly Spot[], most: number): Tried[] {
  return ownersFor(ctx.plan, run).flatMap((owner) => {
    const supply = supplyOf(owner);
    const trial = new Trial(ctx.plan, run, supply, places);
    const sets = subsets(spotsOfSupply(trial.base, supply, places), most);
    return choicesFor(ctx.plan, run, owner, cablesFor(ctx.plan), (route) => passing(ctx.plan, route)).flatMap(
      (choice) =>
        sets.flatMap((spots): Tried[] => {
          if (spots.length === 0 || (choice.trunk && spots.length === 1)) return [];
          const outcome = trial.judge(choice, spots);
          const outputs = outcome?.outputs ?? generous(ctx, owner, choice, spots);
          const isClean = outputs !== undefined && holds(ctx, run, editsOf(ctx.plan, run, choice, spots, outputs));
          const isCrowded = choice.limited > 0 && choice.parallel * (choice.trunk ? 1 : spots.length) > choice.room;
          if (!isCrowded)
            expect({ spots: spots.map(({ text }) => text), isClean }).toMatchObject({ isClean: outcome !== undefined });
          return isClean ? [{ choice, spots, cost: costOf(choice, spots) }] : [];
        }),
    );
  });
}

/** What a trial turned down is given the largest fuses: that must not hold either. */
function generous(ctx: SuggestContext, owner: Supply | Board, choice: Choice, spots: readonly Spot[]) {
  const most = fuseRange(choice.cable, choice.parallel)?.most ?? 0;
  return outputsFor(ctx.plan, owner, choice.trunk ? [0] : spots.map(() => 0), most, true);
}

function holds(ctx: SuggestContext, run: Run, edits: readonly Edit[]): boolean {
  const { findings } = ctx.preview(edits);
  return (
    !findings.some(({ code, subject }) => subject === run.name && CURED_BY_INJECTION.has(code)) &&
    !worsens(ctx.preview([]).findings, findings)
  );
}

/** The analysis as a planner sees it: with a way to try edits. */
function contextOf(text: string): { ctx: Analysis & SuggestContext; run: Run } {
  const { analysis } = analysePlan(text);
  const run = analysis.plan.runs.get('long');
  if (run === undefined) throw new Error('the plan has no run');
  return { ctx: analysis, run };
}

describe('the search for injection points', () => {
  it('finds what trying everything finds', () => {
    let solved = 0;
    const shapes = new Set<string>();
    fc.assert(
      fc.property(shape, (drawn) => {
        const { ctx, run } = contextOf(planOf(drawn));
        if (!ctx.findings.some(({ code, subject }) => subject === 'long' && CURED_BY_INJECTION.has(code))) return;
        const places = spotsOf(ctx.plan, run, false);
        const best = tryEverything(ctx, run, places, 4).sort((a, b) => compareCosts(a.cost, b.cost))[0];
        const { answers, isProven } = searchInjection(ctx, run, { ...SEARCH_OPTIONS, mostTaps: 4 });
        const [first] = answers;
        if (best === undefined) {
          // Only then may a string be opened in the middle.
          expect(
            first === undefined || first.spots.some((spot) => !places.some(({ text }) => text === spot.text)),
          ).toBe(true);
          return;
        }
        solved++;
        shapes.add(`${best.choice.trunk} ${best.spots.length} ${best.choice.parallel} ${best.choice.owner.kind}`);
        expect(first?.cost).toEqual(best.cost);
        // Five taps on one trunk may take fewer cables than the best with four; only a search that may take them can tell.
        expect(isProven || searchInjection(ctx, run).isProven).toBe(true);
        for (const answer of answers) expect(holds(ctx, run, answer.edits)).toBe(true);
      }),
      {
        seed: 11,
        numRuns: 14,
        examples: [[MORE_TAPS]],
      },
    );
    expect(solved).toBeGreaterThan(10);
    expect(shapes.size).toBeGreaterThan(3);
  }, 300_000);
});
