import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { gapTooLong } from '#server/checks/gap-too-long.ts';
import type { Fix } from '#server/model/finding.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';

/** A gap that is too long is offered null pixels that part it evenly: as few as bring each part within reach. */
const PLAN = readFileSync(new URL('../../fixtures/checks/gap-too-long/found.festoon', import.meta.url), 'utf8');

function fixesOf(text: string): readonly Fix[] {
  const { analysis, host } = analysePlan(text);
  const preview = (edits: Fix['edits']) => host.preview(MAIN, edits);
  return analysis.findings.flatMap((finding) =>
    finding.code === 'gap-too-long' ? (gapTooLong.suggest?.({ ...analysis, preview }, finding) ?? []) : [],
  );
}

const withGap = (gap: string) => PLAN.replace('gap 5.1 m', gap);
const textOf = (gap: string) => fixesOf(withGap(gap)).map(({ edits }) => edits.map(({ text }) => text));

test.each([
  ['gap 5.1 m', 'Put a null pixel in the middle of the gap', ['gap 2.55 m', 'gap 2.55 m']],
  ['gap 10 m', 'Put a null pixel in the middle of the gap', ['gap 5 m', 'gap 5 m']],
  ['gap 10.2 m', 'Put 2 null pixels in the gap', ['gap 3.4 m', 'gap 3.4 m', 'gap 3.4 m']],
  ['gap 15 m', 'Put 2 null pixels in the gap', ['gap 5 m', 'gap 5 m', 'gap 5 m']],
])('%s: %s', (gap, title, parts) => {
  const [fix, ...others] = fixesOf(withGap(gap));
  expect(others).toEqual([]);
  expect(fix).toMatchObject({ title, preferred: true });
  expect(fix?.edits.map(({ text }) => text)).toEqual([parts.join('\n  null 1 px  of faint\n  ')]);
});

test('the cable of the gap goes on behind the null pixel', () => {
  expect(textOf('gap 5.2 m  of lead-18')).toEqual([
    ['gap 2.6 m  of lead-18\n  null 1 px  of faint\n  gap 2.6 m  of lead-18'],
  ]);
});

test('of two gaps in one run each is split where it stands', () => {
  const two = withGap('gap 5.2 m').replace(/}\n$/, '  gap 5.4 m\n  string 10 px  of faint  every 10 mm\n}\n');
  expect(fixesOf(two).map(({ edits }) => edits.map(({ text }) => text.split('\n')[0]))).toEqual([
    ['gap 2.6 m'],
    ['gap 2.7 m'],
  ]);
});

test('nothing is offered for gaps that follow one another, for the gaps of copies, and for wide pitches', () => {
  expect(textOf('gap 3 m\n  gap 3 m')).toEqual([]);
  const copies = PLAN.replace(/ {2}string 10 px[^}]*/, '  ring 2 x 5 px  of faint  gap 6 m  every 10 mm\n');
  expect(fixesOf(copies)).toEqual([]);
  expect(fixesOf(PLAN.replace('gap 5.1 m', 'gap 5 m').replace('every 10 mm\n}', 'every 6 m\n}'))).toEqual([]);
});

test('nothing is offered where the null pixel makes something else worse', () => {
  // 20 pixels of 24 bits at 800 kHz and a pause of 400 us take 1 ms, exactly a frame at 1,000 fps; a further one is too many.
  const full = PLAN.concat('plan {\n  frame-rate 1000 fps\n}\n').replace(
    '  wire     18 AWG\n}',
    '  wire     18 AWG\n  data     24 bits at 800 kHz  reset 400 us\n}',
  );
  expect(fixesOf(PLAN)).toHaveLength(1);
  expect(fixesOf(full)).toEqual([]);
});
