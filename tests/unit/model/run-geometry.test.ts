import { describe, expect, it } from 'vitest';
import type { Run } from '#server/model/plan.ts';
import { RunGeometry, wayBetween, wayFromStart } from '#server/model/run-geometry.ts';
import { analysePlan } from '../../support/plans.ts';

/** Cable to a joint follows the shape of what hangs there, not the data wire. All lengths by hand, in m. */

const PARTS = `part pixel bullet {
  voltage 12 V
  red 18 mA  knee 3 V  dark 2 V
  wire 18 AWG
}
`;

interface Laid {
  readonly run: Run;
  readonly geometry: RunGeometry;
}

function laid(lines: string, props = ''): Laid {
  const { analysis } = analysePlan(`${PARTS}${props}run sail {\n${lines}\n}\n`);
  const run = analysis.plan.runs.get('sail');
  if (run === undefined) throw new Error('the plan has no run');
  return { run, geometry: new RunGeometry(run) };
}

/** The joint behind so many pixels of the run; where two strings meet, that of the second if `after` is said. */
function pointAt({ run, geometry }: Laid, before: number, side: 'end' | 'start' = 'end') {
  for (const piece of run.pieces) {
    if (piece.kind !== 'string') continue;
    const pixel = before - (piece.first - 1);
    if (pixel < 0 || pixel > piece.count || (pixel === 0 && side === 'end' && before > 0)) continue;
    if (pixel === piece.count && side === 'start') continue;
    const point = geometry.pointAt(piece, pixel);
    if (point !== undefined) return point;
  }
  throw new Error(`no joint behind ${before} pixels`);
}

const ways = (run: Laid, joints: readonly (readonly [number, 'end' | 'start'])[]) =>
  joints.map(([before, side]) => wayFromStart(pointAt(run, before, side)));

const closeTo = (values: readonly number[]) => values.map((value) => expect.closeTo(value, 9));

describe('cable along a run', () => {
  it('follows strings in a row and the gaps between them', () => {
    const run = laid(
      '  string a  20 px  of bullet  every 50 mm\n  gap 0.5 m\n  string b  10 px  of bullet  every 100 mm',
    );
    // 20 x 0.05 = 1 to the end of a, 0.5 more to b, 10 x 0.1 = 1 more to the end.
    expect(
      ways(run, [
        [0, 'start'],
        [20, 'end'],
        [20, 'start'],
        [30, 'end'],
      ]),
    ).toEqual(closeTo([0, 1, 1.5, 2.5]));
  });

  it('crosses a serpentine matrix from strand to strand', () => {
    // Strands of 50 x 0.05 = 2.5 m side by side every 0.1 m. The first runs down, the second up, and so on.
    const run = laid('  matrix canvas  4 strands x 50 px  of bullet  every 50 mm  spacing 0.1 m');
    expect(
      ways(run, [
        [50, 'end'], // foot of the first: 2.5
        [50, 'start'], // foot of the second: 2.5 + 0.1
        [100, 'end'], // head of the second: 0.1
        [100, 'start'], // head of the third: 0.2
        [150, 'end'], // foot of the third: 0.2 + 2.5
        [200, 'end'], // head of the fourth: 0.3, where the data wire has 4 x 2.5 + 0.3 = 10.3 m behind it
      ]),
    ).toEqual(closeTo([2.5, 2.6, 0.1, 0.2, 2.7, 0.3]));
    // Pixel 10 of the second strand counts from its foot: 2.5 - 0.5 = 2 below the head.
    expect(wayFromStart(pointAt(run, 60))).toBeCloseTo(2.1, 9);
    // From there to the same height of the third: 0.1 across, and up to the head and down again, or by the foot: 1 m.
    expect(wayBetween(pointAt(run, 60), pointAt(run, 140))).toBeCloseTo(0.1 + 0.5 + 0.5, 9);
    expect(wayBetween(pointAt(run, 200), pointAt(run, 100, 'start'))).toBeCloseTo(0.1, 9);
  });

  it('crosses a straight matrix at the heads, whatever wire leads back', () => {
    const run = laid('  matrix canvas  3 strands x 50 px  of bullet  every 50 mm  spacing 0.1 m  straight');
    // Every strand starts at the head: 0.1 and 0.2 across; the last ends at its foot, 0.2 + 2.5.
    expect(
      ways(run, [
        [50, 'start'],
        [100, 'start'],
        [150, 'end'],
      ]),
    ).toEqual(closeTo([0.1, 0.2, 2.7]));
  });

  it('goes round a ring the shorter way', () => {
    const run = laid(
      '  ring wreath  60 px  of bullet  every 50 mm\n  gap 0.4 m\n  string tail  10 px  of bullet  every 50 mm',
    );
    // 3 m round: pixel 40 is 2 m along and 1 m back; the end lies at the start, the tail 0.4 m off, its end 0.5 m more.
    expect(
      ways(run, [
        [20, 'end'],
        [40, 'end'],
        [60, 'end'],
        [60, 'start'],
        [70, 'end'],
      ]),
    ).toEqual(closeTo([1, 1, 0, 0.4, 0.9]));
  });

  it('passes copies one after the other', () => {
    const flake = 'prop flake {\n  matrix arms  2 strands x 10 px  of bullet  every 50 mm  spacing 0.2 m\n}\n';
    const run = laid('  copies flakes  3  of flake  gap 1 m', flake);
    // A copy is 0.2 m across and ends at the head of its second strand; a metre lies between it and the next.
    expect(
      ways(run, [
        [20, 'end'],
        [20, 'start'],
        [40, 'start'],
        [60, 'end'],
      ]),
    ).toEqual(closeTo([0.2, 1.2, 2.4, 2.6]));
    // From the foot of the first copy, 0.5, over its end to the foot of the third.
    expect(wayBetween(pointAt(run, 10), pointAt(run, 50))).toBeCloseTo(0.2 + 0.5 + 1 + 0.2 + 1 + 0.5, 9);
    // And back.
    expect(wayBetween(pointAt(run, 50), pointAt(run, 10))).toBeCloseTo(0.2 + 0.5 + 1 + 0.2 + 1 + 0.5, 9);
  });
});
