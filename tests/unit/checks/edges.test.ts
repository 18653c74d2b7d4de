import { describe, expect, test } from 'vitest';
import { checksPage, lineOfCode } from '#server/checks/checks-page.ts';
import { beyond, type Found, holds, valueText } from '#server/checks/expected.ts';
import { exceeds } from '#server/checks/limits.ts';
import { worstString } from '#server/checks/low-voltage.ts';
import { CHECKS } from '#server/checks/registry.ts';
import { isCollapsed, isDark } from '#server/checks/string-state.ts';
import { tooManyPixels } from '#server/checks/too-many-pixels.ts';
import { unsolved } from '#server/checks/unsolved.ts';
import { circuitLimits } from '#server/electrics/validate.ts';
import type { RunAccount, StringAccount } from '#server/model/account.ts';
import type { Expectation } from '#server/model/claims.ts';
import { collector, type Finding } from '#server/model/finding.ts';
import { analysePlan } from '../../support/plans.ts';

/** Where a rule turns over: just below, at, and just above. What each of these decides is one line of arithmetic. */

test('a limit that is met is kept, also where its last digit is lost', () => {
  expect(exceeds(4, 4)).toBe(false);
  expect(exceeds(13.8, 12 * 1.15)).toBe(false);
  expect(exceeds(0.1 + 0.2, 0.3)).toBe(false);
  expect(exceeds(4.000_000_1, 4)).toBe(true);
  expect(exceeds(3.999_999_9, 4)).toBe(false);
  expect(exceeds(0, 0)).toBe(false);
  expect(exceeds(1e-6, 0)).toBe(true);
  expect(exceeds(1e6 + 0.01, 1e6)).toBe(true);
});

const string = (startVolts: number, least: number, lockout?: number): StringAccount =>
  ({
    startVolts,
    least: { volts: least, pixel: 1 },
    piece: { part: { converter: lockout === undefined ? undefined : { watts: 1, lockout } } },
  }) as StringAccount;

test('a string is dark when neither its start nor its lowest pixel has half a volt', () => {
  expect(isDark(string(0.49, 0.49))).toBe(true);
  expect(isDark(string(Number.NaN, 0))).toBe(true);
  expect(isDark(string(0.5, 0.4))).toBe(false);
  expect(isDark(string(1, 0))).toBe(false);
  expect(isDark(string(0.4, 0.5))).toBe(false);
  expect(isDark(string(0.4, 1))).toBe(false);
});

test('a string has collapsed when power reaches it and a pixel is below the lockout of its converter', () => {
  expect(isCollapsed(string(12, 4.99, 5))).toBe(true);
  expect(isCollapsed(string(12, 5, 5))).toBe(false);
  expect(isCollapsed(string(0.1, 0.1, 5))).toBe(false);
  expect(isCollapsed(string(12, 1))).toBe(false);
});

describe('the string that is furthest below its need', () => {
  const needing = (least: number, ...volts: number[]) =>
    worstString({
      strings: volts.map((each, index) => ({
        ...string(12, each),
        piece: { part: { least: { value: least } }, line: { keyword: 'string' }, first: index },
      })),
    } as unknown as RunAccount)?.piece.first;

  test('is none where all have what they need, and the first of two alike', () => {
    expect(needing(10.8, 10.8, 10.9)).toBe(undefined);
    expect(needing(10.8, 10.8 - 1e-12)).toBe(undefined);
    expect(needing(10.8, 10.9, 10.7999)).toBe(1);
    expect(needing(10.8, 10.5, 10.5)).toBe(0);
    expect(needing(10.8, 10.6, 10.5, 10.7)).toBe(1);
  });
});

describe('an expectation', () => {
  const of = (side: 'least' | 'most', limit: number, value: number) => {
    const expectation = { side, limit } as Expectation;
    const found: Found = { value, pixel: undefined };
    return { holds: holds(expectation, found), beyond: beyond(expectation, found) };
  };

  test('holds up to a millionth beyond its limit, which is left to the solution', () => {
    expect(of('most', 1e6, 1e6 + 1).holds).toBe(true);
    expect(of('most', 1e6, 1e6 + 2).holds).toBe(false);
    expect(of('least', 1e6, 1e6 - 1).holds).toBe(true);
    expect(of('least', 1e6, 1e6 - 2).holds).toBe(false);
    expect(holds({ side: 'most', limit: 1 } as Expectation, undefined)).toBe(false);
  });

  test('is missed by a share of its limit, also by one of a nanovolt where that is 0', () => {
    expect(of('most', 4, 5).beyond).toBe(0.25);
    expect(of('least', 4, 3).beyond).toBe(0.25);
    expect(of('least', -4, -5).beyond).toBe(0.25);
    expect(of('most', 0, 2).beyond).toBeCloseTo(2e9, 3);
    expect(of('most', 0, 0).holds).toBe(true);
  });

  test('shows more digits where value and limit would read the same', () => {
    const text = (quantity: Expectation['quantity'], limit: number, value: number) =>
      valueText({ quantity, limit }, value);
    expect(text('voltage', 11, 10.9981)).toBe('10.9981 V');
    expect(text('voltage', 11, 10.9)).toBe('10.90 V');
    expect(text('voltage', 11, 11)).toBe('11.00 V');
    expect(text('current', 4, 4.0012)).toBe('4.0012 A');
    expect(text('current', 4, 4.1)).toBe('4.10 A');
    expect(text('current', 4, 4)).toBe('4.00 A');
    expect(text('power', 48, 48.123)).toBe('48.123 W');
    expect(text('power', 48, 50)).toBe('50 W');
    expect(text('power', 48, 48)).toBe('48 W');
    expect(text('cables', 2, 3)).toBe('3 cables');
  });
});

/** What a check says of a plan and an account of which only a part is looked at. */
function found(check: (typeof CHECKS)[number], plan: object, account: object): Finding[] {
  const { findings, report } = collector();
  check.run?.({ plan, account } as unknown as Parameters<NonNullable<typeof check.run>>[0], report);
  return findings;
}

test('of up to five runs without a solution the names are told, of more how many there are besides', () => {
  const { plan } = analysePlan('run a {\n}\n').analysis;
  const origin = [...plan.runs.values()][0]?.origin;
  const message = (runs: number, pixels = 21e6, status = 'unsolved') =>
    found(unsolved, plan, {
      islands: [
        {
          island: { runs: Array.from({ length: runs }, (_, i) => ({ name: `r${i + 1}`, origin })) },
          circuit: { circuit: { stretches: [{ count: 1 }, { count: pixels - 1 }] } },
          outcome: { status },
        },
      ],
    })[0]?.message;
  expect(message(1)).toContain('21,000,000 pixels are joined');
  expect(message(1)).toContain('computed for r1.');
  expect(message(5)).toContain('computed for r1, r2, r3, r4, r5.');
  expect(message(6)).toContain('computed for r1, r2, r3, r4, r5 and 1 more.');
  expect(message(7)).toContain('and 2 more.');
  expect(message(1, circuitLimits.mostPixels + 1)).toContain('are joined in one circuit');
  expect(message(1, 21e6, 'solved')).toBe(undefined);
});

test('up to a million pixels is what there is room for; of more the largest run is named', () => {
  const { plan } = analysePlan('run a {\n}\n').analysis;
  const origin = [...plan.runs.values()][0]?.origin;
  const of = (...counts: number[]) =>
    found(
      tooManyPixels,
      { runs: new Map(counts.map((pixelCount, i) => [i, { name: `r${i}`, pixelCount, origin }])) },
      {},
    );
  expect(of(400_000, 600_000)).toEqual([]);
  const [over] = of(300_000, 500_000, 450_000);
  expect(over?.message).toContain('1,250,000 pixels, 500,000 of them on r1;');
  expect(over?.excess).toBeCloseTo(0.25, 12);
});

test('the page of checks leads to each of them, and tells which can hurt', () => {
  const lines = checksPage().split('\n');
  for (const { code, title, explanation, hazard } of CHECKS) {
    const start = lineOfCode(code);
    expect(lines[start - 1]).toBe(`## ${code}`);
    expect(lines).toContain(`- [${code}](#${code}): ${title}`);
    expect(lines[start + 1]?.startsWith(`**${title}**`)).toBe(true);
    expect(lines[start + 1]?.includes('It can hurt somebody'), code).toBe(hazard === true);
    expect(lines[start + 3]).toBe(explanation.split('\n')[0]);
  }
  expect(lineOfCode('no-such-code')).toBe(1);
  expect(lines[0]).toBe('# What Festoon finds');
});
