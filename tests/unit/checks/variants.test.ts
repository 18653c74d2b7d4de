import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import type { Finding } from '#server/model/finding.ts';
import { analysePlan } from '../../support/plans.ts';

/**
 * Plans of the checks with a few words changed, so that another advice, another fix or other places are due: each is
 * thought out on the changed plan.
 */
const FOLDER = new URL('../../fixtures/checks/', import.meta.url);

function found(plan: string, change: (text: string) => string, code = plan.split('/')[0]): Finding[] {
  const text = readFileSync(new URL(`${plan}.festoon`, FOLDER), 'utf8');
  const changed = change(text);
  expect(changed).not.toBe(text);
  return analysePlan(changed).analysis.findings.filter((finding) => finding.code === code);
}

const one = (findings: readonly Finding[]): Finding => {
  expect(findings).toHaveLength(1);
  return findings[0] as Finding;
};
const pointsTo = ({ related }: Finding) =>
  related.map(({ origin }) => origin.declaration.text.slice(origin.start, origin.end));

test('two floods of three without power', () => {
  const { message } = one(found('no-power/found-flood', (text) => text.replace(/^feed wash-b.*$/m, '')));
  expect(message).toContain('flood 2 of wash (2 of 3 have no power): every flood');
  const all = one(found('no-power/found-flood', (text) => text.replace(/^feed wash-.*$/gm, '')));
  expect(all.message).toContain('flood 1 of wash (3 of 3 have no power)');
});

test('receivers that share a port of so many pixels', () => {
  const small =
    'part controller small {\n  ports 8\n  port-pixels MOST px\n  draws 1 mA\n}\nplan {\n  frame-rate 20 fps\n}\n';
  const shared = (most: number) =>
    found('port-pixels/found-links', (text) =>
      text.replace('of data-board', 'of small').concat(small.replace('MOST', String(most))),
    );
  // 900 pixels in 27.6 ms, where a frame lasts 50 ms.
  expect(one(shared(899)).message).toContain('have 900 pixels together; it drives 899.');
  expect(shared(900)).toEqual([]);
});

test('a frame rate that would be no picture is not advised', () => {
  const long = (count: number, rate: number) =>
    one(
      found(
        'port-pixels/found-frame-time',
        (text) => `${text.replace('string 840 px', `string ${count} px`)}plan {\n  frame-rate ${rate} fps\n}\n`,
      ),
    );
  // 3,300 px x 30 us + 300 us = 99.3 ms: 10 fps. 3,400 px: 102.3 ms.
  expect(long(3300, 20).message).toContain('Split it over 2 ports, or plan for 10 fps.');
  expect(long(3400, 20).message).toMatch(/Split it over 3 ports\.$/);
  expect(pointsTo(long(3300, 20))).toEqual(['20 fps']);
  expect(one(found('port-pixels/found-frame-time', (text) => `${text}\n`)).related).toEqual([]);
});

test('a free port is offered, and none where all are taken', () => {
  const offered = one(found('port-taken/found', (text) => `${text}\n`));
  expect(offered.fixes?.map(({ title }) => title)).toEqual(['Use port box.2']);
  expect(offered.fixes?.[0]?.edits.map(({ text }) => text)).toEqual(['box.2']);
  const two = 'part controller two-ports {\n  ports 2\n  port-fuse 5 A\n}\n';
  const third = 'run third  from box.2 {\n  string 5 px  of steady-12  every 50 mm\n}\n';
  const full = one(
    found('port-taken/found', (text) => text.replace('of board', 'of two-ports').concat(two, third), 'port-taken'),
  );
  expect(full.message).toMatch(/Give right another port\.$/);
  expect(full.fixes ?? []).toEqual([]);
  const last = one(found('port-taken/found', (text) => text.replace('of board', 'of two-ports').concat(two)));
  expect(last.message).toContain('box.2 is free');
});

test('a smaller fuse is offered where its line is its own', () => {
  const offered = one(found('fuse-too-large/found-feed', (text) => `${text}\n`));
  expect(offered.fixes?.map(({ title }) => title)).toEqual(['Use a 15 A fuse']);
  expect(offered.fixes?.[0]?.edits.map(({ text }) => text)).toEqual(['15 A']);
  const shared = one(
    found('fuse-too-large/found-feed', (text) =>
      text.replace('output 1  fuse 1 A\n', '').replace('output 2  fuse 20 A', 'outputs 1 to 2  fuse 20 A'),
    ),
  );
  expect(shared.fixes ?? []).toEqual([]);
  expect(shared.message).toContain('A 15 A fuse is enough here.');
  // 300 px of 60 mA are 18 A: no fuse that saves 15 A of cable carries them.
  const loaded = one(
    found('fuse-too-large/found-feed', (text) =>
      text.replace('string 20 px', 'string 300 px').replace('every 50 mm', 'every 1 mm'),
    ),
  );
  expect(loaded.message).toContain('Use a larger cable.');
  expect(loaded.fixes ?? []).toEqual([]);
});

test('doubled cables carry twice as much, and are named so', () => {
  const doubled = (fuse: number) =>
    found('fuse-too-large/found-feed', (text) =>
      text.replace('fuse 20 A', `fuse ${fuse} A`).replace('1 m  of feed-14', '1 m  of feed-14 x 2'),
    );
  expect(doubled(30)).toEqual([]);
  expect(one(doubled(40)).message).toContain('than feed-14 x 2 may carry (30 A');
});

test('an overloaded supply: one feed or several, alone or beside another supply', () => {
  const alone = (text: string) =>
    text
      .replace(/^supply other[^}]*}\n/m, '')
      .replace('outputs 1 to 2', 'outputs 1 to 3')
      .replace('from other.1', 'from psu.3');
  const more = one(found('supply-overloaded/found-two-feeds', alone));
  expect(more.message).toContain('Add a supply, or move a feed to one with power to spare.');
  const single = (text: string) =>
    text
      .replace(/^feed ring-feed.*$/m, '')
      .replace(/^run ring [^}]*}\n/m, '')
      .replace('star 60 px', 'star 100 px');
  const first = one(found('supply-overloaded/found-two-feeds', single));
  expect(first.message).toContain('Feed a part of its runs from another supply.');
  expect(pointsTo(first)).toEqual(['psu.1']);
});

test('a circuit points to the supplies that are on it, and to no others', () => {
  const other = 'circuit kitchen  15 A  115 V\nsupply spare  of bench-12  on kitchen {\n  output 1  fuse 1 A\n}\n';
  const finding = one(found('circuit-overloaded/found-above-share', (text) => text.concat(other)));
  expect(pointsTo(finding)).toEqual(['psu']);
});

test('a gap is split by as many null pixels as it needs', () => {
  const gap = (length: string, limit = '') =>
    found('gap-too-long/found', (text) =>
      text.replace('gap 5.1 m', `gap ${length}`).replace('  wire     18 AWG\n}', `  wire     18 AWG\n${limit}}`),
    );
  expect(one(gap('5.01 m')).message).toContain('data goes 5.01 m without a pixel');
  expect(gap('5 m')).toEqual([]);
  expect(gap('7 m', '  gap-limit 7 m\n')).toEqual([]);
  expect(one(gap('7.1 m', '  gap-limit 7 m\n')).excess).toBeCloseTo(0.1 / 7, 6);
});
