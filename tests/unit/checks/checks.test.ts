import { readdirSync, readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { coverageOf } from '#server/checks/coverage.ts';
import { CHECKS } from '#server/checks/registry.ts';
import { analysePlan, checkPlan, markedCodes } from '../../support/plans.ts';

/**
 * Each check's own plans: tests/fixtures/checks/<code>/found-*.festoon and quiet-*.festoon, with marks for all that is
 * found in them. The numbers in the marks are reckoned by hand in a comment of the plan, or come from a source that
 * is named there.
 */
const FOLDER = new URL('../../fixtures/checks/', import.meta.url);

/** No plan can bring a fault of Festoon itself about; internal.test.ts plants one. */
const WITHOUT_PLAN: ReadonlySet<string> = new Set(['internal']);

/** Where voltages collapse there is no steady state whose volts a hand could reckon. */
const WITHOUT_MEASURE: ReadonlySet<string> = new Set(['voltage-collapse']);

const codes = CHECKS.map((check) => check.code);

describe('the checks', () => {
  it('have a code of their own each', () => {
    expect(new Set(codes).size).toBe(codes.length);
  });

  it('are the folders of plans', () => {
    expect(readdirSync(FOLDER).sort()).toEqual(codes.filter((code) => !WITHOUT_PLAN.has(code)).sort());
  });
});

describe.each(codes.filter((code) => !WITHOUT_PLAN.has(code)))('%s', (code) => {
  const names = readdirSync(new URL(`${code}/`, FOLDER));

  it('has a plan in which it is found and one in which it is not', () => {
    expect(names.filter((name) => !/^(?:found|quiet)(?:-[a-z0-9-]+)?\.festoon$/.test(name))).toEqual([]);
    expect(names.filter((name) => name.startsWith('found')).length).toBeGreaterThan(0);
    expect(names.filter((name) => name.startsWith('quiet')).length).toBeGreaterThan(0);
  });

  it('has a plan that marks what it points to besides, and one that says by how much, where it tells such things', () => {
    const texts = names.map((name) => readFileSync(new URL(`${code}/${name}`, FOLDER), 'utf8'));
    const findings = texts.flatMap((text) => analysePlan(text).analysis.findings).filter((each) => each.code === code);
    const tells = (what: 'by' | 'beside') => texts.some((text) => markedCodes(text)[what].has(code));
    expect(tells('beside')).toBe(findings.some(({ related }) => related.length > 0));
    if (!WITHOUT_MEASURE.has(code)) expect(tells('by')).toBe(findings.some(({ excess }) => excess !== undefined));
  });

  it.each(names)('%s', (name) => {
    const text = readFileSync(new URL(`${code}/${name}`, FOLDER), 'utf8');
    expect(markedCodes(text).all.has(code)).toBe(name.startsWith('found'));
    const analysis = checkPlan(text);
    // What finds something has something to look at, and says so.
    const coverage = coverageOf(analysis).find(({ check }) => check.code === code);
    if (name.startsWith('found') && coverage !== undefined) expect(coverage.ran).toBe(true);
  });
});
