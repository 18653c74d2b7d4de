import { describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { applyEdits } from '#server/analysis/host.ts';
import { searchInjection } from '#server/planning/injection-search.ts';
import { outputsFor } from '#server/planning/outputs.ts';
import { outputEdits } from '#server/planning/write-outputs.ts';
import { bulletPart } from '../../support/parts.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';

/** Planned feeds start at outputs that are there, as long as there are any. */

const PARTS = `${bulletPart('idle 1 mA')}part cable data-only {
  conductor 18 AWG
  carries   ground data
}
part cable thick {
  conductor 12 AWG
  carries   V+ ground
}
part supply psu-part {
  voltage 12 V
  rated   40 A
}
part controller board {
  ports 4
}
`;

/** Sixty pixels of 56.5 mA, 3.39 A, that nothing feeds yet: at 80 % of its rating (common practice) a 5 A fuse carries 4 A. */
function planWith(outputs: string, more = ''): string {
  return formatText(`${PARTS}supply psu  of psu-part {
${outputs}
}
controller box  of board  from psu.1
${more}run long  from box.1 {
  lead   2 m  of data-only
  string one  60 px  of bullet  every 50 mm
}
`);
}

function contextOf(text: string) {
  const { analysis, host } = analysePlan(text);
  const run = analysis.plan.runs.get('long');
  const supply = analysis.plan.supplies.get('psu');
  const file = host.fileOf(MAIN);
  if (run === undefined || supply === undefined || file === undefined) throw new Error('the plan is not whole');
  return { ctx: analysis, run, supply, file };
}

/** The plan with the best feeds written into it. */
function planned(text: string): string {
  const { ctx, run, file } = contextOf(text);
  const [answer] = searchInjection(ctx, run).answers;
  if (answer === undefined) throw new Error('nothing is offered');
  const made = applyEdits(file, answer.edits);
  expect(formatText(made)).toBe(made);
  return made;
}

describe('the output of a planned feed', () => {
  it('is the free one with the smallest fuse that carries the load', () => {
    const made = planned(planWith('  output 1  fuse 2 A\n  output 2  fuse 10 A\n  output 3  fuse 5 A'));
    expect(made).toMatch(/^feed long-\S+ {2}from psu\.3 /m);
    expect(made).toMatch(/output {2}3 {2}fuse 5 A\n}/);
  });

  it('is a free one with another fuse before there is a new one', () => {
    const made = planned(planWith('  output 1  fuse 2 A\n  output 2  fuse 2 A'));
    expect(made).toMatch(/^feed long-\S+ {2}from psu\.2 /m);
    expect(made).toMatch(/output {2}2 {2}fuse 5 A\n}/);
  });

  it('is taken from the end of a row of outputs, which is shortened by it', () => {
    const made = planned(planWith('  output 1  fuse 2 A\n  outputs 2 to 6  fuse 2 A  # the green strip'));
    expect(made).toMatch(/^feed long-\S+ {2}from psu\.6 /m);
    expect(made).toMatch(/outputs 2 to 5 {2}fuse 2 A\n {2}output {2}6 {2}fuse 5 A {2}# the green strip\n}/);
  });

  it('is a new one where all are taken', () => {
    const made = planned(planWith('  output 1  fuse 2 A'));
    expect(made).toMatch(/^feed long-\S+ {2}from psu\.2 /m);
    expect(made).toMatch(/output {2}2 {2}fuse 5 A\n}/);
  });

  it('is that of a fused board while it has a free one', () => {
    const side = 'board side  from psu.2  1 m  of thick {\n  output 1  fuse 5 A\n}\n';
    const made = planned(planWith('  output 1  fuse 2 A\n  output 2', side));
    expect(made).toMatch(/^feed long-\S+ {2}from side\.1 /m);
    expect(made.match(/^ {2}output /gm)).toHaveLength(3);
  });

  it('is a new one although a fused board elsewhere has a free one', () => {
    // 4 m of way and half a metre of slack at both ends from the supply, 94 m from the board.
    const places = 'place shed\nplace roof\nplace far\nroute shed to roof  4 m\nroute roof to far  93 m\n';
    const far = 'board far-side  at far  from psu.2  98 m  of thick {\n  output 1  fuse 5 A\n}\n';
    const text = planWith('  output 1  fuse 2 A\n  output 2', places + far)
      .replace('of psu-part {', 'of psu-part  at shed {')
      .replace('from box.1 {', 'from box.1  at roof {');
    expect(planned(formatText(text))).toMatch(/^feed long-\S+ {2}from psu\.3 .* 5 m /m);
  });

  it('never leaves a row of one, and keeps what was measured', () => {
    const { ctx, supply } = contextOf(planWith('  output 1  fuse 2 A\n  outputs 2 to 4  fuse 2 A'));
    // Of three on one line the last may go, since two stay; then no other.
    expect(outputsFor(ctx.plan, supply, [3.4, 3.4], 10)).toEqual([
      { number: 4, fuse: 5 },
      { number: 5, fuse: 5 },
    ]);
    expect(outputEdits(supply, [{ number: 4, fuse: 5 }]).map(({ text }) => text)).toEqual([
      '3',
      '\n  output  4  fuse 5 A',
    ]);
    const measured = contextOf(planWith('  output 1  fuse 2 A\n  output 2  fuse 2 A  cold 50 mohm'));
    expect(outputsFor(measured.ctx.plan, measured.supply, [3.4], 10)).toEqual([{ number: 3, fuse: 5 }]);
  });
});
