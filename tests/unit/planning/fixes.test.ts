import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import type { Analysis } from '#server/analysis/analysis.ts';
import { applyEdits } from '#server/analysis/host.ts';
import { fixAll, remediesAt } from '#server/ide/fixes.ts';
import type { Edit, Finding, Fix } from '#server/model/finding.ts';
import { finish } from '#server/model/steps.ts';
import { suggestFixes } from '#server/planning/suggestions.ts';
import { expectToCure } from '../../support/cures.ts';
import { isHuge } from '../../support/is-huge.ts';
import { bulletPart } from '../../support/parts.ts';
import { analysePlan, hostOf, MAIN } from '../../support/plans.ts';

/** Computed fixes keep their word: each closes its finding, adds none, and leaves a formatted plan formatted. */

const FOLDER = new URL('../../fixtures/checks/', import.meta.url);

function fixesOf(analysis: Analysis, finding: Finding): readonly Fix[] {
  return finish(suggestFixes(analysis, finding));
}

function judge(text: string): string[] {
  const tried = analysePlan(text);
  const { analysis } = tried;
  const titles: string[] = [];
  for (const finding of analysis.findings) {
    for (const fix of fixesOf(analysis, finding)) {
      titles.push(fix.title);
      expectToCure(tried, finding, fix);
    }
  }
  return titles;
}

describe('computed fixes', () => {
  for (const code of readdirSync(FOLDER)) {
    const folder = new URL(`${code}/`, FOLDER);
    for (const name of readdirSync(folder).filter((file) => file.startsWith('found'))) {
      const text = readFileSync(new URL(name, folder), 'utf8');
      // Nothing is searched in a plan of a million pixels, and each look at it takes seconds.
      if (!isHuge(text, 6))
        it(`keep their word in ${code}/${name}`, () => {
          judge(text);
        });
    }
  }

  it('are formatted as the plan is', () => {
    const text = formatText(planWith('of thin'));
    const { analysis, host } = analysePlan(text);
    const fixes = analysis.findings.flatMap((finding) => fixesOf(analysis, finding));
    expect(fixes.length).toBeGreaterThan(1);
    for (const fix of fixes) {
      const file = host.fileOf(MAIN);
      if (file === undefined) throw new Error('the plan is gone');
      const after = applyEdits(file, fix.edits);
      expect(formatText(after), fix.title).toBe(after);
    }
  });
});

/** Eighty pixels of 56.5 mA at the far end of a long lead: 4.5 A that the port's fuse is not for. */
function planWith(feed: string, more = ''): string {
  return `${bulletPart('idle 1 mA')}part cable data-only {
  conductor 18 AWG
  carries ground data
}
part cable thin {
  conductor 20 AWG
  carries V+ ground
}
part cable middle {
  conductor 16 AWG
  carries V+ ground
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
  port-pixels 100 px
}
supply psu  of psu-part {
  output 1  fuse 1 A
  output 2  fuse 4 A
}
controller box  of board  from psu.1
run long  from box.1 {
  lead 2 m  of data-only
  outline left  40 px  of bullet  every 75 mm
  outline right  40 px  of bullet  every 75 mm
}
feed long-start  from psu.2  to long.left  6 m  ${feed}
${more}`;
}

describe('the next size of cable', () => {
  // Doubled, 11 m of 16 AWG (13.4 mohm/m with 2 % for the lay) have 74 mohm each way. Ground goes through the lead too,
  // 2 m of 18 AWG (21.4 mohm/m) or 43 mohm, so it has 27 mohm in all: 4.52 A lose 0.33 V and 0.12 V. The string loses
  // 56.5 mA * 3.2 mohm * 80 * 81 / 2 = 0.59 V, the 7.5 A fuse (11 mohm) 0.05 V: 10.91 V are left of 12 V.
  // Two of 16 AWG have less copper (2.6 mm2) than one of 12 AWG (3.3 mm2).
  it('is the thinnest that holds', () => {
    const text = planWith('of middle')
      .replace('2  fuse 4 A', '2  fuse 7.5 A')
      .replace('6 m  of middle', '11 m  of middle');
    expect(judge(text)).toContainEqual(expect.stringMatching(/^Use middle x 2 for long-start: least 10\.9[01] V$/));
  });
});

describe('a fuse that carries too much', () => {
  // Eighty pixels draw 80 * 56.5 mA = 4.52 A: 4 A is too small, and so is 5 A at 80 %; 7.5 A carries 6 A.
  it('is replaced by the next that carries the load, if the cable stands it', () => {
    expect(judge(planWith('of thick'))).toContain('Use a 7.5 A fuse for psu.2');
    expect(judge(planWith('of thin')).filter((title) => title.includes('A fuse for'))).toEqual([]);
  });

  it('is replaced on a fused board too', () => {
    // The fuse in front of the board is to be 1.6 times the largest behind it (IEC 60269-2): 7.5 A * 1.6 = 12 A.
    const side = 'board side  from psu.2  1 m  of thick {\n  output 1  fuse 4 A\n}\n';
    const text = planWith('of thick', side)
      .replace('2  fuse 4 A', '2  fuse 15 A')
      .replace('from psu.2  to', 'from side.1  to');
    expect(judge(text)).toContain('Use a 7.5 A fuse for side.1');
  });
});

describe('a run too long for its port', () => {
  // Half of it, 40 * 56.5 mA = 2.26 A, is what each port then passes on. The second lead is 2 m + 40 * 75 mm = 5 m.
  const long = planWith('of thick')
    .replace('port-pixels 100 px', 'port-pixels 50 px\n  port-fuse 5 A')
    .replace('carries ground data', 'carries V+ ground data')
    .replace('1  fuse 1 A', '1  fuse 15 A')
    .replace('feed long-start', '# feed');

  it('is split at a joint, on a free port, with a longer lead', () => {
    const { analysis } = analysePlan(long);
    const finding = analysis.findings.find(({ code }) => code === 'port-pixels');
    if (finding === undefined) throw new Error('the run is not too long');
    const [fix] = fixesOf(analysis, finding);
    expect(fix?.title).toBe('Split long at right: 40 px stay, 40 px go to box.2');
    expect(fix?.edits[0]?.text).toContain('run long-2  from box.2 {\n  lead 5 m  of data-only\n');
  });
});

describe('a run too long for its port, at a place', () => {
  it('is split into one at the same place, whose lead takes the same way, under a name that is free', () => {
    const text = `place shed
place roof
route shed to roof  2 m
${planWith('of thick')}run long-2  from box.4  at roof {
  lead 2 m  of data-only
  outline extra  1 px  of bullet  every 75 mm
}
`
      .replace('port-pixels 100 px', 'port-pixels 50 px\n  port-fuse 5 A')
      .replace('carries ground data', 'carries V+ ground data')
      .replace('1  fuse 1 A', '1  fuse 15 A')
      .replace('feed long-start', '# feed')
      .replace(
        'run long  from box.1 {\n  lead 2 m',
        'run long  from box.1  at roof {\n  lead  2 m  along shed to roof',
      );
    const { analysis } = analysePlan(text);
    const finding = analysis.findings.find(({ code }) => code === 'port-pixels');
    if (finding === undefined) throw new Error('the run is not too long');
    const [fix] = fixesOf(analysis, finding);
    // 2 m and 40 x 75 mm.
    expect(fix?.edits[0]?.text).toBe(
      '}\n\nrun long-3  from box.2  at roof {\n  lead  5 m  of data-only  along shed to roof\n',
    );
  });
});

describe('where nothing helps', () => {
  const none = planWith('of thin')
    .replaceAll(/part cable (middle|thick) \{[^}]*\}\n/g, '')
    .replace('rated 29 A', 'rated 5 A');

  it('says why', () => {
    const { analysis } = analysePlan(none);
    const [remedy] = remediesAt(analysis, MAIN, { start: 0, end: none.length }).filter(
      ({ disabled }) => disabled !== undefined,
    );
    expect(remedy?.title).toBe('Inject power into long');
    expect(remedy?.disabled).toMatch(/^no supply in reach has .*A to spare, the most is .*A$/);
    expect(remedy?.edits).toEqual([]);
  });

  it('says that the plan forbids it', () => {
    const text = planWith('of thin')
      .replace('run long  from box.1 {', 'run long  from box.1  no-tap {')
      .replaceAll(/part cable (middle|thick) \{[^}]*\}\n/g, '');
    const { analysis } = analysePlan(text);
    const disabled = remediesAt(analysis, MAIN, { start: 0, end: text.length }).map((remedy) => remedy.disabled);
    expect(disabled).toContain('long is marked no-tap');
  });
});

describe('no-tap', () => {
  it('on a string keeps feeds away from it', () => {
    const titles = judge(planWith('of thin').replace('outline right  40 px  of bullet  every 75 mm', '$&  no-tap'));
    expect(titles.filter((title) => title.startsWith('Inject at'))).not.toContainEqual(
      expect.stringMatching(/long\.(end|right)/),
    );
  });
});

describe('whoever asks for a fix', () => {
  // A look at the plan as a whole takes the longest: between two of them the work can be left.
  it('may leave between any two looks at the plan', () => {
    const read = (name: string) => readFileSync(new URL(name, FOLDER), 'utf8');
    const texts = [planWith('of thin'), planWith('of thick'), read('supplies-meet/found-two-feeds.festoon')];
    let most = 0;
    for (const text of texts) {
      const { analysis, host } = analysePlan(text);
      for (const finding of analysis.findings) {
        let looks = 0;
        const preview = (edits: readonly Edit[]) => {
          if (edits.length > 0) looks++;
          return host.preview(MAIN, edits);
        };
        const steps = suggestFixes({ ...analysis, preview }, finding);
        for (let done: boolean | undefined = false; done !== true; ) {
          const before = looks;
          done = steps.next().done;
          expect(looks - before).toBeLessThanOrEqual(1);
        }
        most = Math.max(most, looks);
      }
    }
    expect(most).toBeGreaterThan(3);
  });
});

describe('fixing all', () => {
  it('takes the one cure of a fuse that the wire cannot stand, and no other change of the display', () => {
    const text = readFileSync(new URL('fuse-too-large/found-feed.festoon', FOLDER), 'utf8');
    const host = hostOf(new Map([['plan.festoon', text]]));
    const edits = fixAll(host.analyse(MAIN), MAIN);
    expect(edits.length).toBe(1);
    expect(edits.every((edit) => /^[\d.]+ A$/.test(edit.text))).toBe(true);
  });
});
