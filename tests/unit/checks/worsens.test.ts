import { expect, test } from 'vitest';
import { readSource } from '#grammar/source.ts';
import { worsens } from '#server/checks/worsens.ts';
import type { Finding } from '#server/model/finding.ts';
import { analysePlan } from '../../support/plans.ts';

const [declaration] = readSource('file:///plan.festoon', 'plan').declarations;
const origin = {
  uri: 'file:///plan.festoon',
  declaration: declaration as NonNullable<typeof declaration>,
  start: 0,
  end: 4,
};

const finding = (code: string, subject: string, more: Partial<Finding> = {}): Finding => ({
  code,
  subject,
  origin,
  message: '',
  related: [],
  fixes: [],
  ...more,
});

test('nothing is worse when the same or less is found', () => {
  const low = finding('low-voltage', 'eaves', { excess: 0.05 });
  expect(worsens([low], [low])).toBe(false);
  expect(worsens([low], [])).toBe(false);
  expect(worsens([low], [{ ...low, excess: 0.02 }])).toBe(false);
});

test('a text that is no plan may have any number of findings of one kind', () => {
  const many = Array.from({ length: 200_000 }, () => finding('unexpected-word', ''));
  expect(worsens(many, many)).toBe(false);
  expect(worsens(many, [...many, finding('unexpected-word', '')])).toBe(true);
});

test('it is worse when something new is found, or the same once more', () => {
  const low = finding('low-voltage', 'eaves');
  expect(worsens([], [low])).toBe(true);
  expect(worsens([low], [finding('low-voltage', 'gable')])).toBe(true);
  expect(worsens([low], [low, low])).toBe(true);
});

test('it is worse when the same lies further beyond its limit, or has become an error', () => {
  const full = finding('supply-overloaded', 'psu', { level: 'warning', excess: 0.02 });
  expect(worsens([full], [{ ...full, excess: 0.2 }])).toBe(true);
  expect(worsens([full], [{ ...full, level: 'error' }])).toBe(true);
});

/** Two runs of steady pixels, each behind a feed of its own with a small connector: 80 px * 60 mA = 4.8 A, 20 px 1.2 A. */
const twoFeeds = (
  first: number,
  second: number,
  more = '  output 3  fuse 10 A\n  output 4  fuse 10 A\n',
) => `use "bench.festoon"
part connector pigtail {
  rated    4 A
  contact  10 mohm
}
supply psu  of bench-12 {
  output 1  fuse 1 A
${more}}
controller box  of data-board  from psu.1
run eaves  from box.1 {
  lead 1 m  of data-18
  string ${first} px  of steady-12  every 1 mm
}
run gable  from box.2 {
  lead 1 m  of data-18
  string ${second} px  of steady-12  every 1 mm
}
feed eaves-feed  from psu.3  to eaves.start  2 m  of feed-14  with pigtail
feed gable-feed  from psu.4  to gable.start  2 m  of feed-14  with pigtail
`;

test('it is worse when what is amiss with one feed comes to another', () => {
  const of = (plan: string) => analysePlan(plan).analysis.findings;
  const codes = (findings: readonly Finding[]) => findings.map(({ code }) => code);
  const moves: [string, string, string][] = [
    ['connector-overloaded', twoFeeds(80, 20), twoFeeds(20, 80)],
    [
      'feed-unfused',
      twoFeeds(20, 20, '  output 3\n  output 4  fuse 10 A\n'),
      twoFeeds(20, 20, '  output 3  fuse 10 A\n  output 4\n'),
    ],
    // The cable of the feeds is rated for 15 A.
    [
      'fuse-too-large',
      twoFeeds(20, 20, '  output 3  fuse 20 A\n  output 4  fuse 10 A\n'),
      twoFeeds(20, 20, '  output 3  fuse 10 A\n  output 4  fuse 20 A\n'),
    ],
  ];
  for (const [code, here, there] of moves) {
    const [before, after] = [of(here), of(there)];
    expect([codes(before), codes(after)]).toEqual([[code], [code]]);
    expect(worsens(before, after), code).toBe(true);
  }
});
