/** What programs read: JSON by its schemas, and the same figures as people see. */
import { readFileSync } from 'node:fs';
import { Ajv2020, type ValidateFunction } from 'ajv/dist/2020.js';
import { beforeAll, describe, expect, it } from 'vitest';
import { root } from '../house/tree.ts';
import { type Entry, festoon, SMALL } from './console.ts';

const schemaText = (name: string) => readFileSync(`${root}/server/src/cli/schema/${name}.schema.json`, 'utf8');

const validators = new Map<string, ValidateFunction>();
beforeAll(() => {
  for (const name of ['check', 'solve']) {
    const ajv = new Ajv2020({ allErrors: true, strict: true, strictRequired: false, allowUnionTypes: true });
    validators.set(name, ajv.compile(JSON.parse(schemaText(name))));
  }
});

/** What a schema has against a value, in its own words. */
function faults(name: 'check' | 'solve', value: unknown): string[] {
  const validate = validators.get(name)!;
  return validate(value) === true
    ? []
    : (validate.errors ?? []).map((error) => `${error.instancePath} ${error.message}`);
}

function jsonOf(command: 'check' | 'solve', plan: string, others: Readonly<Record<string, Entry>> = {}) {
  const { out } = festoon([command, '--format', 'json', 'a.festoon'], {
    files: { ...others, '/plans/a.festoon': plan },
  });
  return JSON.parse(out);
}

const PLANS: Readonly<Record<string, string>> = {
  'a sound plan': SMALL,
  'a plan with findings': SMALL.replace('least   11 V', 'least   11.9 V').replace('fuse 2 A', 'fuse 0.6 A'),
  'a plan of broken lines': SMALL.replace('rated   5 A', 'rated   5')
    .replace('carries', 'karries')
    .replace('  route', 'route {'),
  'a plan without supplies': SMALL.replace(/supply psu[^}]*}/, ''),
  'a plan with nothing in it but a place': 'place shed\n',
  'a plan of names alone': 'run a\nfeed b\nsupply c\ncontroller d\ncircuit e\nprop f\nbond g\n',
  'a plan that uses a file that is not there': `use "gone.festoon"\n${SMALL}`,
  'a plan with a board that passes V+ on': SMALL.replace('ports 4', 'ports 4\n  port-fuse 5 A')
    .replace('at shed\n\nrun', 'at shed  from psu.1\n\nrun')
    .replace('string edge', 'lead 2 m  of pair\n  string edge'),
};

describe.each(['check', 'solve'] as const)('the JSON of %s', (command) => {
  it.each(Object.keys(PLANS))('keeps to its schema for %s', (name) => {
    expect(faults(command, jsonOf(command, PLANS[name]!))).toEqual([]);
  });

  it.each(['plan.festoon', 'flawed/plan.festoon'])('keeps to its schema for samples/boathouse/%s', (name) => {
    const folder = `${root}/samples/boathouse`;
    const names = ['plan', 'parts', 'house', 'quay', 'yard', 'flawed/plan', 'flawed/parts'];
    const files = Object.fromEntries(
      names.map((each) => [`/boathouse/${each}.festoon`, readFileSync(`${folder}/${each}.festoon`, 'utf8')] as const),
    );
    const { out } = festoon([command, '--format', 'json', name], {
      files: { ...files, '/boathouse/.git': '' },
      cwd: '/boathouse',
    });
    expect(out.length).toBeGreaterThan(300);
    expect(faults(command, JSON.parse(out))).toEqual([]);
  });

  it('is refused by its schema when something is missing, unknown or of another kind', () => {
    const sound = jsonOf(command, SMALL);
    expect(faults(command, { ...sound, version: 2 })).not.toEqual([]);
    expect(faults(command, { ...sound, more: 1 })).not.toEqual([]);
    const part = command === 'check' ? 'plans' : 'runs';
    const [first] = sound[part];
    expect(faults(command, { ...sound, [part]: [{ ...first, surprise: true }] })).not.toEqual([]);
    for (const key of Object.keys(sound).filter((each) => each !== 'title')) {
      const { [key]: _, ...rest } = sound;
      expect(faults(command, rest)).not.toEqual([]);
    }
  });

  it('has a schema of the draft that it names, whose version is that of the output', () => {
    const schema = JSON.parse(schemaText(command));
    expect(schema.$schema).toBe('https://json-schema.org/draft/2020-12/schema');
    expect(schema.properties.version.const).toBe(jsonOf(command, SMALL).version);
    expect(schema.properties.format.const).toBe(jsonOf(command, SMALL).format);
  });
});

describe('check --format json', () => {
  const low = SMALL.replace('least   11 V', 'least   11.9 V');

  it('tells of the same findings as the text, with their places', () => {
    const [plan] = jsonOf('check', low).plans;
    const line = low.split('\n').findIndex((text) => text.startsWith('  string edge')) + 1;
    expect(plan.counts).toEqual({ error: 0, warning: 1, information: 0 });
    expect(plan.findings).toHaveLength(1);
    expect(plan.findings[0]).toMatchObject({
      code: 'low-voltage',
      level: 'warning',
      file: 'a.festoon',
      line,
      column: 10,
      endLine: line,
      endColumn: 14,
    });
    expect(plan.findings[0].related[0]).toMatchObject({ file: 'a.festoon', message: 'porch-feed feeds porch-edge.' });
  });

  it('ends with the same code as the text', () => {
    const exit = (plan: string, ...options: string[]) =>
      festoon(['check', ...options, 'a.festoon'], { files: { '/plans/a.festoon': plan } }).exit;
    expect([exit(SMALL, '--format', 'json'), exit(low, '--format', 'json'), exit(low)]).toEqual([0, 1, 1]);
  });
});

describe('solve --format json', () => {
  it('has volts and amps of every pixel, and what feeds them', () => {
    const { runs, feeds, outputs, supplies, cables, circuits, controllers } = jsonOf('solve', SMALL);
    // By hand, as in check.test.ts: 12 V less 0.03 V at the fuse, 0.09576 V in the feed and 0.0012 V at two splices, then
    // 2 x 0.1 m x 7.98 mohm/m x 60 mA x (10 + 9 + ...) along the string. The supply's 1 uohm takes another 0.6 uV.
    const start = 12 - 0.03 - 0.09576 - 0.0012 - 0.6e-6;
    const expected = Array.from({ length: 10 }, (_, k) => {
      let drop = 0;
      for (let behind = 10; behind >= 10 - k; behind--) drop += 2 * 0.1 * 7.98e-3 * 0.06 * behind;
      return start - drop;
    });
    const [run] = runs;
    expect(run.pixelVolts).toHaveLength(10);
    for (const [k, volts] of expected.entries()) expect(run.pixelVolts[k]).toBeCloseTo(volts, 6);
    expect(run.pixelAmps).toEqual(Array.from({ length: 10 }, () => 0.06));
    expect(run).toMatchObject({ name: 'porch-edge', port: 'box.1', pixels: 10, leastPixel: 10, neededVolts: 11 });
    expect(run.leastVolts).toBeCloseTo(expected[9]!, 6);
    // 10 px x 3 slots; 704 bytes a universe and frame, 40 frames a second (ANSI E1.31).
    expect(run.addresses).toEqual([{ universe: 1, slot: 1, slots: 30, firstPixel: 1, lastPixel: 10 }]);
    expect(controllers).toEqual([{ name: 'box', universes: 1, packetsPerSecond: 40, bitsPerSecond: 225_280 }]);
    expect(feeds[0].taps).toEqual([{ run: 'porch-edge', text: 'porch-edge', pixel: 1, isBefore: true, amps: 0.6 }]);
    expect(feeds[0].drop).toBeCloseTo(0.09576, 6);
    expect(cables[0]).toMatchObject({ kind: 'feed', of: 'porch-feed', metres: 10, positiveAmps: 0.6, rated: 25 });
    expect(outputs[0]).toMatchObject({ name: 'psu.1', amps: 0.6, fuse: 2, share: 0.3, drop: 0.03, isUsed: true });
    expect(supplies[0].watts).toBeCloseTo(7.2, 5);
    expect(circuits[0].amps).toBeCloseTo(7.2 / 0.85 / 0.55 / 120, 6);
  });

  it('says how well the equations are met', () => {
    const { solver } = jsonOf('solve', SMALL);
    expect(solver).toHaveLength(1);
    expect(solver[0]).toMatchObject({ status: 'solved', supplies: ['psu'], runs: ['porch-edge'] });
    expect(solver[0].currentResidual).toBeLessThan(1e-9);
    expect(solver[0].powerResidual).toBeLessThan(1e-9);
  });

  it('has no volts, and no figure that is no number, where nothing is fed', () => {
    const { runs, supplies } = jsonOf('solve', PLANS['a plan without supplies']!);
    expect(supplies).toEqual([]);
    expect(runs[0]).toMatchObject({ amps: 0, leastVolts: 0, groundShift: 0 });
    const text = festoon(['check', 'a.festoon'], {
      files: { '/plans/a.festoon': PLANS['a plan of names alone']! },
    }).out;
    // A supply of which no part is named is no source: that it gives 0 mA would be more than is known.
    expect(text).toMatch(/^ {2}c +\?$/m);
    expect(text).not.toContain('NaN');
  });

  it('tells on standard error that a line was not read, and ends with code 1', () => {
    const solve = (plan: string) => festoon(['solve', 'a.festoon'], { files: { '/plans/a.festoon': plan } });
    const broken = solve(SMALL.replace('every 100 mm', 'every 100'));
    expect(broken.exit).toBe(1);
    expect(broken.err).toMatch(/^festoon: a\.festoon has 1 finding that may leave something out/);
    expect(broken.out).not.toBe('');
    // A fuse that carries too much is computed all the same.
    const overloaded = solve(SMALL.replace('fuse 2 A', 'fuse 0.5 A'));
    expect({ exit: overloaded.exit, err: overloaded.err }).toEqual({ exit: 0, err: '' });
  });
});
