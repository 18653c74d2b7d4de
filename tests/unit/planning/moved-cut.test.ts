import { describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { applyEdits } from '#server/analysis/host.ts';
import type { Fix } from '#server/model/finding.ts';
import { expectToCure } from '../../support/cures.ts';
import { bulletPart } from '../../support/parts.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';

/**
 * A cut of V+ that stands in a run is moved to the joint that shares the pixels better. The run: four strings of 40 pixels
 * of 56.5 mA, 120 mm apart on 18 AWG (21.4 mohm/m, ASTM B258 and IEC 60028 with 2 % for the lay), so 2.56 mohm a pitch.
 * Both ends are fed through 2 m of 12 AWG (5.3 mohm/m), 10.6 mohm a conductor, and a fuse of 8 to 11 mohm.
 *
 * With n pixels on the V+ of one end, the last of them loses 56.5 mA x 2.56 mohm x n (n + 1) / 2 there; through the ground,
 * which goes on to both ends, pixel k of 160 loses 56.5 mA x 2.56 mohm x k (160 - k) / 2:
 *
 *   cut before    n      V+        ground    feed (V+ and ground) and fuse      left of 12 V
 *   d           120      1.050 V   0.347 V   72 mV + 48 mV + 60 mV               10.42 V: too little
 *   c            80      0.469 V   0.463 V   48 mV + 48 mV + 45 mV               10.93 V: well
 *   b, from the other end as d
 */
const text = (...lines: string[]) => `${bulletPart('idle 1 mA')}part cable lead {
  conductor 18 AWG
  carries ground data
}
part cable thick {
  conductor 12 AWG
  carries V+ ground
}
part supply psu-part {
  voltage 12 V
  rated 29 A
}
part controller board {
  ports 4
}
supply psu-a  of psu-part {
  output 1  fuse 1 A
  output 2  fuse 15 A
  output 3  fuse 15 A
}
supply psu-b  of psu-part {
  output 1  fuse 15 A
}
controller box  of board  from psu-a.1
run long  from box.1 {
  lead    2 m  of lead
${lines.map((line) => `  ${line}\n`).join('')}}
feed long-start  from psu-a.2  to long.a  2 m  of thick
feed long-end    from psu-b.1  to long.end  2 m  of thick
`;
const string = (name: string) => `outline ${name}  40 px  of bullet  every 120 mm`;
const [a, b, c, d] = ['a', 'b', 'c', 'd'].map(string) as [string, string, string, string];

/** Fixes of a finding that move a cut, each tried, with the text that they make. */
function moves(plan: string, code: string): (Pick<Fix, 'title' | 'preferred'> & { readonly made: string })[] {
  const tried = analysePlan(plan);
  const { analysis, host } = tried;
  const finding = analysis.findings.find((found) => found.code === code);
  const file = host.fileOf(MAIN);
  if (finding === undefined || file === undefined)
    throw new Error(`no ${code}: ${analysis.findings.map(({ message }) => message).join(' | ')}`);
  const fixes = analysis.fixesOf(finding).filter(({ title }) => title.startsWith('Move the V+ cut'));
  return fixes.map((fix) => {
    expectToCure(tried, finding, fix);
    return { title: fix.title, preferred: fix.preferred, made: applyEdits(file, fix.edits) };
  });
}

describe('a cut of V+', () => {
  it('is moved to the joint that leaves most', () => {
    const plan = formatText(text(a, b, c, 'cut     V+', d));
    const [fix, ...others] = moves(plan, 'low-voltage');
    expect(fix?.title).toMatch(/^Move the V\+ cut of long from before d to before c: least 10\.9\d V$/);
    expect(fix?.preferred).toBe(true);
    expect(others).toEqual([]);
    expect(fix?.made).toBe(formatText(text(a, b, 'cut     V+', c, d)));
  });

  it('is moved with what is said of it', () => {
    const plan = text(a, 'cut     V+  # halfway', b, c, d);
    const [fix] = moves(plan, 'low-voltage');
    expect(fix?.made).toBe(text(a, b, 'cut     V+  # halfway', c, d));
    const [windows] = moves(plan.replaceAll('\n', '\r\n'), 'low-voltage');
    expect(windows?.made.replaceAll('\r\n', '\n')).toBe(fix?.made);
  });

  it('is moved where two supplies meet behind it', () => {
    // psu-a is tapped in before c too: with the cut before b it meets psu-b, with the cut before d it does not.
    const more = 'feed long-middle  from psu-a.3  to long.c  2 m  of thick\n';
    const plan = text(a, 'cut     V+', b, c, d) + more;
    expect(moves(plan, 'supplies-meet').map(({ title }) => title)).toEqual([
      expect.stringMatching(/^Move the V\+ cut of long from before b to before d: least 1[01]\.\d+ V$/),
    ]);
  });

  it('is moved where a supply gives too much', () => {
    // 120 pixels are 6.78 A and 80 are 4.52 A: 80 % of 8 A is 6.4 A.
    const plan = text(a, b, c, 'cut     V+', d).replaceAll('120 mm', '30 mm').replace('rated 29 A', 'rated 8 A');
    expect(moves(plan, 'supply-overloaded').map(({ title }) => title)).toEqual([
      expect.stringMatching(/^Move the V\+ cut of long from before d to before c: least 11\.\d+ V$/),
    ]);
  });

  it('stays where no other joint closes the finding, and where there is none', () => {
    // At 140 mm all losses of the string grow by 140 / 120: 1.09 V, with the feed 1.23 V, and 10.77 V are left.
    const longer = text(a, b, 'cut     V+', c, d).replaceAll('120 mm', '140 mm');
    expect(moves(longer, 'low-voltage')).toEqual([]);
    expect(moves(text(a, b, c, d), 'supplies-meet')).toEqual([]);
  });
});
