import { expect, test } from 'vitest';
import { readSource } from '#grammar/source.ts';
import type { Check } from '#server/checks/check.ts';
import { findAtCorners } from '#server/checks/run-checks.ts';
import type { Account } from '#server/model/account.ts';
import type { Finding, Origin } from '#server/model/finding.ts';
import { analysePlan } from '../../support/plans.ts';

/** What is said when checks find something at several corners: made-up checks, which find what they are told to find. */
const { plan, account } = analysePlan('plan {\n  tolerance supplies 1 %\n}\n').analysis;
const place = (start: number, of = 0): Origin => {
  const declaration = readSource('file:///plan.festoon', 'place a\nplace b\n').declarations[of];
  if (declaration === undefined) throw new Error('there are two of them');
  return { uri: 'file:///plan.festoon', declaration, start, end: start + 1 };
};
const HERE = place(0);
const THERE = place(4);

type Told = Pick<Finding, 'origin'> & Partial<Finding>;

/** Nominal findings first, then those with the supplies 1 % low, then 1 % high. */
function said(...found: Told[][]): string[] {
  const accounts: Account[] = found.map(() => ({ ...account }));
  const check: Check = {
    code: 'made-up',
    level: 'warning',
    title: '',
    explanation: '',
    run: (ctx, report) => {
      for (const [index, told] of (found[accounts.indexOf(ctx.account)] ?? []).entries())
        report({ code: 'made-up', message: `${accounts.indexOf(ctx.account)}.${index}.`, ...told });
    },
  };
  return findAtCorners([check], plan, accounts, HERE).map(({ message }) => message);
}

const about = (subject: string, origin: Origin, excess?: number): Told => ({
  origin,
  subject,
  ...(excess === undefined ? {} : { excess }),
});
const LOW = 'Worst corner: supplies −1 %, air at 20 degC.';
const HIGH = 'Worst corner: supplies +1 %, air at 20 degC.';

test('without corners all is said as it was found', () => {
  expect(said([about('a', HERE, 0.1), about('a', HERE, 0.2)])).toEqual(['0.0.', '0.1.']);
  expect(findAtCorners([], plan, [], HERE)).toEqual([]);
});

test('the nominal one stands unless a corner is worse by more than the solver strays', () => {
  expect(said([about('a', HERE, 0.1)], [about('a', HERE, 0.1)], [about('a', HERE, 0.05)])).toEqual(['0.0.']);
  expect(said([about('a', HERE, 0.1)], [about('a', HERE, 0.1 + 5e-10)])).toEqual(['0.0.']);
  expect(said([about('a', HERE, 0.1)], [about('a', HERE, 0.1 + 2e-9)])).toEqual([`1.0. ${LOW}`]);
  expect(said([about('a', HERE, 0.1)], [about('a', HERE, 0.2)], [about('a', HERE, 0.3)])).toEqual([`2.0. ${HIGH}`]);
  expect(said([about('a', HERE, 0.1)], [about('a', HERE, 0.4)], [about('a', HERE, 0.3)])).toEqual([`1.0. ${LOW}`]);
});

test('what says not by how much is as bad nowhere as beyond a limit anywhere', () => {
  expect(said([about('a', HERE)], [about('a', HERE)])).toEqual(['0.0.']);
  expect(said([about('a', HERE)], [about('a', HERE, 0.2)])).toEqual([`1.0. ${LOW}`]);
  expect(said([about('a', HERE, 0.2)], [about('a', HERE)])).toEqual(['0.0.']);
});

test('what is found at a corner alone names it', () => {
  expect(said([], [], [about('a', HERE, 0.1)])).toEqual([`2.0. ${HIGH}`]);
});

test('the worst place of one thing may be another at a corner; two things are two', () => {
  expect(said([about('a', HERE, 0.1)], [about('a', THERE, 0.2)])).toEqual([`1.0. ${LOW}`]);
  expect(said([about('a', HERE, 0.1)], [about('b', HERE, 0.2)])).toEqual(['0.0.', `1.0. ${LOW}`]);
});

test('where one corner has several about one thing, their places tell them apart', () => {
  const both = [about('a', HERE, 0.1), about('a', THERE, 0.1)];
  expect(said(both, [about('a', THERE, 0.2)])).toEqual(['0.0.', `1.0. ${LOW}`]);
  expect(said([about('a', THERE, 0.1)], both)).toEqual(['0.0.', `1.0. ${LOW}`]);
});

test('where these are at one place as well, the other places that they point to tell them apart', () => {
  const pointingTo = (origin: Origin, excess: number): Told => ({
    ...about('a', HERE, excess),
    related: [{ origin, message: 'Here.' }],
  });
  const both = [pointingTo(HERE, 0.1), pointingTo(THERE, 0.1)];
  expect(said(both, [pointingTo(THERE, 0.2)])).toEqual(['0.0.', `1.0. ${LOW}`]);
  expect(said([pointingTo(THERE, 0.1)], both)).toEqual(['0.0.', `1.0. ${LOW}`]);
  expect(said(both, both)).toEqual(['0.0.', '0.1.']);
  expect(said([pointingTo(HERE, 0.1)], [pointingTo(THERE, 0.2)])).toEqual([`1.0. ${LOW}`]);
});

test('what has no subject is told apart by its place and its declaration', () => {
  const found = [{ origin: place(0, 0) }, { origin: place(0, 1) }, { origin: place(2, 1) }];
  expect(said(found, [])).toEqual(['0.0.', '0.1.', '0.2.']);
  expect(said([{ origin: HERE, excess: 0.1 }], [{ origin: HERE, excess: 0.2 }])).toEqual([`1.0. ${LOW}`]);
});

test('a check that fails is told, where there is a place to tell it at, and takes no other with it', () => {
  const failing = (fault: unknown): Check => ({
    code: 'made-up',
    level: 'warning',
    title: '',
    explanation: '',
    run: () => {
      throw fault;
    },
  });
  const sound: Check = { ...failing(0), run: (_, report) => report({ code: 'sound', origin: HERE, message: '' }) };
  const codes = (at: Origin | undefined) =>
    findAtCorners([failing(new Error('planted')), sound], plan, [account], at).map(({ code }) => code);
  expect(codes(HERE)).toEqual(['internal', 'sound']);
  expect(codes(undefined)).toEqual(['sound']);
  const [told] = findAtCorners([failing('in words')], plan, [account], HERE);
  expect(told).toMatchObject({ code: 'internal', origin: HERE });
  expect(told?.message).toContain('its check "made-up" (in words)');
  expect(findAtCorners([failing(new Error('planted'))], plan, [account], HERE)[0]?.message).toContain('(planted)');
});

test('a finding points to eight places at most', () => {
  const related = Array.from({ length: 9 }, (_, index) => ({ origin: HERE, message: `${index}` }));
  const check: Check = {
    code: 'made-up',
    level: 'warning',
    title: '',
    explanation: '',
    run: (_, report) => report({ code: 'made-up', origin: HERE, message: '', related }),
  };
  expect(findAtCorners([check], plan, [account], HERE)[0]?.related).toEqual(related.slice(0, 8));
});
