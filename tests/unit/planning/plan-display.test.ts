import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import type { HostBench } from '#server/analysis/host-bench.ts';
import { cablesOn } from '#server/checks/route-crowded.ts';
import { worsens } from '#server/checks/worsens.ts';
import type { Edit } from '#server/model/finding.ts';
import type { Board, Run } from '#server/model/plan.ts';
import { type Bench, wantingRuns } from '#server/planning/bench.ts';
import { choicesFor } from '#server/planning/choice.ts';
import { compareDisplayCosts } from '#server/planning/display-cost.ts';
import { fewestSupplies } from '#server/planning/fewest-supplies.ts';
import { type DisplayPlan, planDisplay } from '#server/planning/plan-display.ts';
import { cablesFor } from '#server/planning/reach.ts';
import { trunksTo, withSources } from '#server/planning/sources.ts';
import { type Spot, spotsOf } from '#server/planning/spots.ts';
import { CURED_BY_INJECTION } from '#server/planning/trial.ts';
import { editsOf } from '#server/planning/write-answer.ts';
import { benchOfText, type DrawnDisplay, displayText, drawnDisplay } from '../../support/drawn-display.ts';

/** What is planned for a display as a whole. */

const textOf = (bench: Bench) => (bench as HostBench).analysis.files[0]?.text ?? '';

/** Figures of what was put into a plan, read from the plan itself. */
function addedTo(before: Bench, after: Bench) {
  const limited = ({ ctx: { plan } }: Bench) =>
    plan.routes
      .filter(({ most }) => most !== undefined)
      .flatMap((route) => cablesOn(plan, route))
      .reduce((sum, { count }) => sum + count, 0);
  const joints = ({ ctx: { plan } }: Bench) =>
    plan.boards.size +
    [...plan.feeds.values()].flatMap(({ pieces }) => pieces.filter(({ kind }) => kind === 'tap')).length;
  return {
    supplies: after.ctx.plan.supplies.size - before.ctx.plan.supplies.size,
    limitedCables: limited(after) - limited(before),
    taps: joints(after) - joints(before),
  };
}

function judge(text: string): { readonly bench: Bench; readonly planned: DisplayPlan } {
  const bench = benchOfText(text);
  const planned = planDisplay(bench);
  const made = textOf(planned.bench);
  const after = benchOfText(made);
  expect(formatText(made)).toBe(made);
  expect(wantingRuns(after.ctx).map(({ name }) => name)).toEqual(planned.open.map(({ run }) => run));
  expect(worsens(bench.analysis.findings, after.analysis.findings)).toBe(false);
  expect(addedTo(bench, after)).toEqual({
    supplies: planned.cost.supplies,
    limitedCables: planned.cost.limitedCables,
    taps: planned.cost.taps,
  });
  expect(compareDisplayCosts(planned.bound, planned.cost)).toBeLessThanOrEqual(0);
  return { bench, planned };
}

describe('a plan for a display', () => {
  it.each([
    // Many that are quickly planned, and some of every kind.
    ['small', { halves: fc.constant(false), thin: fc.constant(false), farther: fc.boolean() }, 200],
    ['any', {}, 16],
  ] as const)(
    'checks clean, counts what it adds, and never beats its own bound: %s',
    (_, fixed, numRuns) => {
      const seen = { wanting: 0, served: 0, boards: 0, supplies: 0, apart: 0 };
      fc.assert(
        fc.property(drawnDisplay(fixed), (drawn) => {
          const { bench, planned } = judge(formatText(displayText(drawn)));
          if (wantingRuns(bench.ctx).length === 0) return;
          seen.wanting++;
          if (planned.open.length === 0) seen.served++;
          if (planned.bench.ctx.plan.boards.size > 0) seen.boards++;
          else if (planned.cost.supplies > 0) seen.supplies++;
          else seen.apart++;
        }),
        { seed: 11, numRuns },
      );
      expect(seen.wanting).toBeGreaterThan(numRuns / 3);
      expect(seen.served / seen.wanting).toBeGreaterThan(0.8);
      for (const kind of ['boards', 'supplies', 'apart'] as const) expect(seen[kind]).toBeGreaterThan(numRuns / 50);
    },
    600_000,
  );
});

/** Long runs behind a limited route, in halves, that only feeds give power: one trunk does for some of them. */
const heavy: fc.Arbitrary<DrawnDisplay> = fc.record({
  counts: fc.array(fc.integer({ min: 55, max: 85 }), { minLength: 2, maxLength: 2 }),
  routeM: fc.integer({ min: 5, max: 13 }),
  room: fc.constant(8),
  supplyAmps: fc.constant(40),
  powered: fc.constant(false),
  halves: fc.constant(true),
  farther: fc.boolean(),
  thin: fc.constant(false),
});

/**
 * Two runs of 50 pixels of 50 mA, 2.5 A each. Copper by the wire table (ASTM B258, 20 degC): 12 AWG has 5.211 mohm/m, 18 AWG
 * 20.948. Stranded copper counts 2 % more (ASTM B8, from memory) on 17.241 mohm mm2/m: the areas make up for that. Lengths
 * are those of the way and half a metre of slack at both ends. By hand, both rails:
 *
 *   trunk, 6 + 1 m     5 A x 2 x 7 m x 5.211 mohm/m                    364.8 mV
 *   its fuse, 20 A     5 A x 3.38 mohm                                  16.9 mV   (makers' sheets, from memory)
 *   fuse of the board  2.5 A x 22.8 mohm                                57.0 mV   (4 A, the least of which 80 % are 2.5 A)
 *   feed, 0 + 1 m      2.5 A x 2 x 1 m x 5.211 mohm/m                   26.1 mV
 *   splice             2.5 A x 2 x 1 mohm                                5.0 mV
 *   string             50 mA x 2 x 2.0948 mohm x 1275                  267.1 mV   (1275 = 50 + 49 + ... + 1)
 *   least voltage      12 V - 736.9 mV = 11.263 V at pixel 50
 */
const BY_HAND = `part pixel px {
  voltage 12 V
  least   10.8 V
  red     50 mA  knee 1 V  dark 0.5 V
  idle    0 mA
  wire    ${1.02 / 58 / 0.020948} mm2
}
part cable data-lead {
  conductor 18 AWG
  carries   data
}
part cable two-core-12 {
  conductor ${1.02 / 58 / 0.005211} mm2
  carries   V+ ground
  rated     20 A
}
part supply psu-part {
  voltage 12 V
  rated   30 A
  droop   0 mohm
}
part controller board {
  ports 2
}
place shed
place roof
route shed to roof  6 m  limit 4 cables
supply psu  of psu-part  at shed
controller box  of board  at shed
${[1, 2].map((port) => `run r${port}  from box.${port}  at roof {\n  lead   1 m  of data-lead\n  string 50 px  of px  every 100 mm\n}\n`).join('')}`;

describe('a trunk for several runs', () => {
  it('is not claimed to be needless where it is not found', () => {
    const tight: DrawnDisplay = {
      ...{ counts: [67, 58], routeM: 11, room: 8, supplyAmps: 40 },
      ...{ powered: false, halves: true, farther: true, thin: false },
    };
    const bench = benchOfText(formatText(displayText(tight)));
    expect(canOneTrunkDo(bench)).toBe(true);
    expect(planDisplay(bench).bound.limitedCables).toBe(1);
  });

  it('loses what the wire table says', () => {
    const { cost, bench, open } = planDisplay(benchOfText(BY_HAND));
    expect(open).toEqual([]);
    // A cable, and a tap for each run and one for the board: fewer than that cannot feed two runs with nothing in common.
    expect(cost).toMatchObject({ limitedCables: 1, taps: 3 });
    const { boards, runs } = bench.ctx.account;
    const [board] = boards.values();
    expect(board?.drop).toBeCloseTo(0.3648, 4);
    for (const run of runs.values()) expect(run.least?.volts).toBeCloseTo(11.2631, 3);
    expect(textOf(bench)).toMatch(
      /^board roof-board {2}at roof {2}from psu\.1 {2}7 m {2}of two-core-12 {2}along shed to roof/m,
    );
    expect(textOf(bench).match(/fuse \d+ A/g)).toEqual(['fuse 20 A', 'fuse 4 A', 'fuse 4 A']);
  });

  it('is found whenever trying every way to tap from one finds it', () => {
    const seen = { one: 0, more: 0 };
    fc.assert(
      fc.property(heavy, (drawn) => {
        const bench = benchOfText(formatText(displayText(drawn)));
        const { cost, bound } = planDisplay(bench);
        expect(cost).toMatchObject({ unserved: 0, supplies: 0 });
        // Nothing comes to a run but by feeds: one cable at least.
        expect(cost.limitedCables).toBeGreaterThan(0);
        expect(wantingRuns(bench.ctx)).toHaveLength(2);
        const can = canOneTrunkDo(bench);
        expect(cost.limitedCables === 1).toBe(can);
        if (can) expect(bound.limitedCables).toBeLessThanOrEqual(1);
        if (cost.limitedCables === 1) seen.one++;
        else seen.more++;
      }),
      // Of these displays, not of every one: each run takes the least feeds that hold, and where the trunk can just carry
      // both, these may leave too little for the other one. Then a cable too many is planned, and the bound says one.
      { seed: 5, numRuns: 14 },
    );
    expect(seen.one).toBeGreaterThan(2);
    expect(seen.more).toBeGreaterThan(2);
  }, 600_000);
});

/**
 * Tries both runs on a board at the end of one cable: every place, every set of taps, as feeds of their own and as one,
 * with every fuse. What leaves a run wanting while nothing else is on the trunk need not be tried with the other one.
 */
function canOneTrunkDo(bench: Bench): boolean {
  const trunks = trunksTo(bench.ctx.plan, wantingRuns(bench.ctx)).filter(({ choice }) => choice.parallel === 1);
  expect(trunks.length).toBeGreaterThan(0);
  return trunks.some((trunk) => {
    const put = withSources(bench, [trunk]);
    const board = put?.bench.ctx.plan.boards.get(put.names[0] ?? '');
    if (put === undefined || board === undefined) throw new Error('no board was put');
    const runs = wantingRuns(put.bench.ctx);
    const [one = [], two = []] = runs.map((run, index) =>
      waysToTap(put.bench, run, board, 1 + 8 * index).filter((edits) => holds(bench, put.bench, [run], edits)),
    );
    return one.some((a) => two.some((b) => holds(bench, put.bench, runs, [...a, ...b])));
  });
}

/** Whether some runs want nothing then, and nothing is worse. */
function holds(start: Bench, put: Bench, runs: readonly Run[], edits: readonly Edit[]): boolean {
  const { findings } = put.ctx.preview(edits);
  const isWanting = findings.some(
    ({ code, subject }) => CURED_BY_INJECTION.has(code) && runs.some(({ name }) => name === subject),
  );
  return !isWanting && !worsens(start.ctx.preview([]).findings, findings);
}

/** Doubled cables from the board on, which resist least. */
function waysToTap({ ctx: { plan } }: Bench, run: Run, board: Board, first: number): Edit[][] {
  const choices = choicesFor(plan, run, board, cablesFor(plan), () => 0).filter(({ parallel }) => parallel === 2);
  return choices.flatMap((choice) =>
    subsets(spotsOf(plan, run, false)).flatMap((spots) => {
      if (spots.length === 0 || (choice.trunk && spots.length === 1)) return [];
      return FUSES.map((fuse) => {
        const from = spots.slice(0, choice.trunk ? 1 : undefined);
        const outputs = from.map((_, index) => ({ number: first + index, fuse }));
        return editsOf(plan, run, choice, spots, outputs);
      });
    }),
  );
}

/** A; smaller ones do not carry the runs that are drawn, larger ones need a larger one before the trunk. */
const FUSES = [3, 4, 5, 7.5, 10, 15];

function subsets([first, ...rest]: readonly Spot[]): Spot[][] {
  if (first === undefined) return [[]];
  return subsets(rest).flatMap((set) => [set, [first, ...set]]);
}

describe('another supply', () => {
  // 20 mA a colour: each run of 120 px draws 7.2 A at full white; a supply of 10 A, loaded to 80 %, carries one of them.
  const supply = 'supply psu  of mid  at shed {\n  outputs 1 to 4  fuse 30 A\n}\n';
  const runs = [0, 1, 2]
    .map(
      (n) => `run r${n}  from box.${n + 1}  at roof {
  lead 3 m  of lead-18
  string 60 px  of steady-12  every 100 mm
  string 60 px  of steady-12  every 100 mm
}
`,
    )
    .join('');
  const head = `use "bench.festoon"
part supply mid {
  voltage 12 V
  adjust 10 V to 14 V
  rated 10 A
  droop 1 mohm
}
place shed
place roof
route shed to roof  10 m
`;
  const board = 'controller box  of board  at shed  from psu.1\n';

  it.each([
    ['above the runs', `${head}${supply}${board}${runs}`],
    ['below the runs', `${head}${runs}${supply}${board}`],
  ])('is found wherever the first one stands: %s', (_, text) => {
    const planned = planDisplay(benchOfText(text));
    expect(planned.open).toEqual([]);
    expect(planned.cost.supplies).toBe(2);
    // Held at 110 % of its 10 A, it gives 11 A now, and may go on with that. All three runs draw 21.6 A: 10.6 A are left for
    // supplies that give 8 A each, and that takes two. One of 100 A, which the bench describes too, would do alone.
    expect(planned.bound).toMatchObject({ unserved: 0, supplies: 1 });
  });

  it('is needed as often as the power that is lacking says', () => {
    // Two runs of 7.2 A from a supply of 14 A, which gives 14.4 A now and may: no power is lacking.
    const two = runs.split(/^(?=run r2)/m)[0] ?? '';
    const bench = benchOfText(`${head.replace('rated 10 A', 'rated 14 A')}${supply}${board}${two}`);
    expect(fewestSupplies(bench.ctx)).toBe(0);
    // The third one makes 21.6 A; at 110 % of 14 A it gives 15.4 A: 6.2 A are left, which one of 11.2 A gives.
    const three = benchOfText(`${head.replace('rated 10 A', 'rated 14 A')}${supply}${board}${runs}`);
    expect(fewestSupplies(three.ctx)).toBe(1);
  });

  it('is not needed where V+ is cut between copies of one prop', () => {
    // 5 A, loaded to 80 %, are 4 A: 3.6 A for 60 px from the port, and as much from the other supply behind the cut. Copies
    // that have no name of their own go by that of the prop: the second ones are told apart by their first pixel.
    const text = `${head.replace('rated 10 A', 'rated 5 A')}prop arch {
  string 30 px  of steady-12  every 100 mm
}
supply psu  of mid  at shed {
  output 1  fuse 15 A
}
supply other  of mid  at shed
${board}run r  from box.1  at shed {
  lead 1 m  of lead-18
  copies 2  of arch
  copies 2  of arch
}
`;
    const planned = planDisplay(benchOfText(text));
    expect(planned.open).toEqual([]);
    expect(planned.cost.supplies).toBe(0);
    expect(planned.steps[0]?.title).toBe('Cut V+ before pixel 61, so that two supplies share the run');
  });

  it('is put beside a trunk that other runs need', () => {
    // Five runs for three cables through the wall: the four of 12 V need a trunk, and the one of 5 V a supply of its own.
    const planned = planDisplay(
      benchOfText(`use "bench.festoon"
part cable thick {
  conductor 6 mm2
  carries V+ ground
  rated 40 A
}
part supply tiny-5 {
  voltage 5 V
  rated 10 A
  droop 1 mohm
}
place shed
place mid
place roofa
place roofb
route shed to mid  5 m  limit 3 cables
route mid to roofa  5 m
route mid to roofb  5 m
circuit garden  6 A  230 V  at roofa
supply psu  of bench-12  at shed {
  outputs 1 to 4  fuse 15 A
}
controller box  of data-board  at shed  from psu.1
run r0  from box.1  at roofa {
  lead 3 m  of data-18
  string 60 px  of steady-12  every 100 mm
}
run r1  from box.2  at roofb {
  lead 3 m  of data-18
  string 60 px  of steady-12  every 100 mm
}
run r2  from box.3  at roofb {
  lead 3 m  of data-18
  string 60 px  of steady-12  every 100 mm
}
run r3  from box.4  at roofa {
  lead 3 m  of data-18
  string 60 px  of steady-12  every 100 mm
}
run v5  from box.5  at roofa {
  lead 3 m  of data-18
  string 30 px  of steady-5  every 100 mm
}
`),
    );
    expect(planned.open).toEqual([]);
    expect(planned.cost.supplies).toBe(1);
    // No supply gives 5 V: one is needed, whatever else is done.
    expect(planned.bound).toMatchObject({ unserved: 0, supplies: 1 });
    expect(planned.steps.map(({ title }) => title.split(',')[0])).toEqual(
      expect.arrayContaining(['One trunk to roofa', 'Another supply at roofa']),
    );
  });
});
