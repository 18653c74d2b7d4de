/** Accepting, expecting and what the checks looked at, on the command line: as people and as programs read it. */
import { readFileSync } from 'node:fs';
import { Ajv2020 } from 'ajv/dist/2020.js';
import { describe, expect, it } from 'vitest';
import { root } from '../house/tree.ts';
import { festoon } from './console.ts';

const BENCH = readFileSync(`${root}/tests/fixtures/bench.festoon`, 'utf8');

/**
 * 50 px of 60 mA at 20 mm, fed at the start: 3 A. By hand (see tests/fixtures/checks/expectation-failed): 11.89 V at the
 * start, 11.82 V at the end. The fuse is larger than the 15 A that the cable is rated for.
 */
const PLAN = `use "bench.festoon"
part cable data-wire {
  conductor 18 AWG
  carries   data
}
supply psu  of bench-12 {
  set 12 V
  output 1  fuse 20 A  cold 1 mohm
  output 2  fuse 1 A  cold 1 mohm
}
controller box  of data-board  from psu.2
run row  from box.1 {
  lead 1 m  of data-wire
  string 50 px  of steady-12  every 20 mm
}
feed start  from psu.1  to row.start  2 m  of feed-14
`;

const runOn = (command: string, more: string, ...options: string[]) =>
  festoon([command, ...options, 'a.festoon'], {
    files: { '/plans/a.festoon': PLAN + more, '/plans/bench.festoon': BENCH },
  });

function faults(name: 'check' | 'test', out: string): string[] {
  const schema = JSON.parse(readFileSync(`${root}/server/src/cli/schema/${name}.schema.json`, 'utf8'));
  const ajv = new Ajv2020({ allErrors: true, strict: true, strictRequired: false, allowUnionTypes: true });
  const validate = ajv.compile(schema);
  validate(JSON.parse(out));
  return (validate.errors ?? []).map((error) => `${error.instancePath} ${error.message}`);
}

describe('accepted findings', () => {
  const ACCEPT =
    'accept fuse-too-large  of start  because "in steel pipe"\naccept no-ground  of row  because "bonded"\n';

  it('are listed with their reasons, and what can hurt stays among the findings', () => {
    const before = runOn('check', '', '--quiet');
    expect(before.exit).toBe(1);
    expect(before.out).toMatch(/error {2}fuse-too-large/);
    const after = runOn('check', ACCEPT, '--quiet');
    expect(after.out).toMatch(/information {2}fuse-too-large/);
    expect(after.out).toMatch(/accepted\n {2}a\.festoon:\d+:\d+ {2}fuse-too-large/);
    expect(after.out).toContain('because: in steel pipe');
    expect(after.out).not.toMatch(/error {2}/);
  });

  it('are in the JSON with file, line and reason', () => {
    const { out } = runOn('check', ACCEPT, '--format', 'json');
    expect(faults('check', out)).toEqual([]);
    const [plan] = JSON.parse(out).plans;
    const taken = plan.accepted.find(({ code }: { code: string }) => code === 'fuse-too-large');
    expect(taken).toMatchObject({ reason: 'in steel pipe', level: 'error', file: 'a.festoon', line: 16 });
  });
});

describe('the table of checks', () => {
  it('says what each looked at, or why it was skipped', () => {
    const { out } = runOn('check', '', '--checks', '--quiet');
    expect(out).toMatch(/low-voltage +warning +ran on 1 run\b/);
    expect(out).toMatch(/port-pixels +error +ran on 1 run +no frame rate is stated: 40 fps is taken/);
    expect(out).toMatch(/route-crowded +warning +skipped +the plan has no route yet/);
    expect(out).toMatch(/circuit-overloaded +error +skipped +the plan has no circuit yet/);
    expect(out).toMatch(/supplies-meet +error +skipped +there are not two supplies/);
    expect(out).toMatch(/fuse-overloaded +\w+ +ran on 2 outputs/);
  });

  it('is in the JSON where it is asked for', () => {
    const { out } = runOn('check', '', '--checks', '--format', 'json');
    expect(faults('check', out)).toEqual([]);
    const [plan] = JSON.parse(out).plans;
    const crowded = plan.checks.find(({ code }: { code: string }) => code === 'route-crowded');
    expect(crowded).toMatchObject({ ran: false, count: 0, why: 'the plan has no route yet' });
    expect(JSON.parse(runOn('check', '', '--format', 'json').out).plans[0].checks).toBeUndefined();
  });
});

describe('festoon test', () => {
  it('passes what holds, with the computed values', () => {
    const { exit, out } = runOn('test', 'expect row at least 11.8 V\nmeasured row.end  11.80 V\n');
    expect(exit).toBe(0);
    expect(out).toContain('holds  expect row at least 11.8 V  a.festoon:17');
    expect(out).toContain('computed: 11.82 V');
    expect(out).toContain('a.festoon: 2 of 2 hold.');
  });

  it('fails what does not, readings that differ and lines that cannot be read', () => {
    const lines =
      'expect row at least 11.9 V\nmeasured row.end  11.3 V\nexpect rwo at least 11 V\nexpect row at least 11 V\n';
    const { exit, out } = runOn('test', lines);
    expect(exit).toBe(1);
    expect(out).toContain('fails  expect row at least 11.9 V');
    expect(out).toContain('fails  measured row.end 11.30 V');
    expect(out).toContain('1 of 3 hold, 1 line could not be read');
    const json = runOn('test', lines, '--format', 'json').out;
    expect(faults('test', json)).toEqual([]);
    expect(JSON.parse(json).plans[0]).toMatchObject({ passed: 1, failed: 2, unreadLines: 1 });
  });

  it.each([
    'expect row at least 11 V  under pink',
    'expect row at least 11 V  under red at 101 %',
    'expect row at least 11 V  red green',
    'measured row.end  11.9 V  under pink',
    'measured row.end  11.9 V  under red at 101 %',
  ])('does not let pass what it would have to read otherwise than it stands: %s', (line) => {
    const { exit, out } = runOn('test', `${line}\n`);
    expect(exit).toBe(1);
    expect(out).toMatch(/fails {2}.*\n +Not tested, for the line cannot be read: /);
    expect(out).toContain('0 of 1 hold');
  });

  it('lets an accepted failure pass, with its reason', () => {
    const lines = 'expect row at least 11.9 V\naccept expectation-failed  everywhere  because "next year"\n';
    const { exit, out } = runOn('test', lines);
    expect(exit).toBe(0);
    expect(out).toContain('accepted: next year');
  });

  it('says when there is nothing to test, and fails on a file that is not there', () => {
    expect(runOn('test', '').out).toContain('nothing to test');
    expect(festoon(['test', 'gone.festoon'], { files: { '/plans/a': '' } }).exit).toBe(2);
  });
});
