import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { parse } from '#grammar/parser.ts';
import { sure } from '#grammar/sure.ts';
import { type SemanticType, semanticTokensOf } from '#server/ide/semantic-tokens.ts';
import { everyPlan } from '../support/every-plan.ts';
import { hostOfDisplay, sampleDisplays, textOf } from '../support/samples.ts';

/**
 * The grammar that other editors colour with, compiled and run by Neovim's own Tree-sitter: it reads every sample, keeps an
 * error in its line, and gives names the colours that the server gives them. Runs where nvim and a C compiler are.
 */
const GRAMMAR = fileURLToPath(new URL('../../grammar/tree-sitter/', import.meta.url));
const SCRIPT = fileURLToPath(new URL('../editors/tree-sitter.lua', import.meta.url));
const hasNeovim = spawnSync('nvim', ['--version']).status === 0;
const hasCompiler = spawnSync('cc', ['--version']).status === 0;
if (!hasNeovim || !hasCompiler)
  console.log(
    `The Tree-sitter grammar is not tested: there is no ${hasNeovim ? 'C compiler (cc)' : 'Neovim (nvim)'} here.`,
  );

interface Reading {
  /** Rows of the first and the last character. */
  readonly errors: readonly (readonly [number, number])[];
  /** With offsets in bytes. */
  readonly captures: readonly (readonly [string, number, number])[];
}

describe.runIf(hasNeovim && hasCompiler)('the Tree-sitter grammar', () => {
  let folder: string;
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'festoon-tree-'));
    const library = ['-shared', '-fPIC', '-O1', '-Isrc', 'src/parser.c', '-o', join(folder, 'festoon.so')];
    const { status, stderr } = spawnSync('cc', library, { cwd: GRAMMAR, encoding: 'utf8' });
    if (status !== 0) throw new Error(`cc: ${stderr}`);
  }, 120_000);
  afterAll(() => rmSync(folder, { recursive: true }));

  function readingsOf(texts: readonly string[]): Reading[] {
    const [input, result] = [join(folder, 'texts.json'), join(folder, 'result.json')];
    rmSync(result, { force: true });
    writeFileSync(input, JSON.stringify(texts));
    const env = {
      ...process.env,
      ...{ FESTOON_PARSER: join(folder, 'festoon.so'), FESTOON_QUERY: join(GRAMMAR, 'queries/highlights.scm') },
      ...{ FESTOON_TEXTS: input, FESTOON_RESULT: result, HOME: folder },
      ...{ XDG_CONFIG_HOME: folder, XDG_DATA_HOME: folder, XDG_CACHE_HOME: folder, XDG_STATE_HOME: folder },
    };
    const options = ['--headless', '-u', 'NONE', '-i', 'NONE', '-c', `luafile ${SCRIPT}`, '-c', 'qall!'];
    const { stderr } = spawnSync('nvim', options, { env, timeout: 100_000, encoding: 'utf8' });
    if (!existsSync(result)) throw new Error(`nvim: ${stderr}`);
    return JSON.parse(readFileSync(result, 'utf8'));
  }

  it('reads every sample, and colours each name as the server does', () => {
    const files = sampleDisplays().flatMap((display) => {
      const analysis = hostOfDisplay(display).analyse(display.main);
      return analysis.files.map((file) => ({ ...file, tokens: semanticTokensOf(analysis, file.uri) }));
    });
    expect(files.length).toBeGreaterThan(40);
    const readings = readingsOf(files.map(({ text }) => text));
    let names = 0;
    for (const [index, { uri, text, tokens }] of files.entries()) {
      const reading = sure(readings[index]);
      expect(reading.errors, uri).toEqual([]);
      const captures = new Map(capturesByPlace(text, reading));
      for (const { start, end, type } of tokens) {
        const line = text.slice(text.lastIndexOf('\n', start) + 1, end);
        expect(captures.get(start), `${uri}: ${line}`).toEqual([COLOURS[type]]);
        names++;
      }
      // No word has two colours: editors differ in which of them counts.
      for (const [start, found] of captures) expect(found, `${uri}: ${text.slice(start, start + 20)}`).toHaveLength(1);
    }
    expect(names).toBeGreaterThan(1000);
  }, 120_000);

  it('reads what the server reads without a complaint', () => {
    const plans = everyPlan().map(({ name, files }) => ({ name, text: files.get('plan.festoon') ?? '' }));
    const sound = plans.filter(({ text }) => parse(text).problems.length === 0);
    expect(sound.length).toBeGreaterThan(200);
    const readings = readingsOf(sound.map(({ text }) => text));
    for (const [index, { name }] of sound.entries()) expect(sure(readings[index]).errors, name).toEqual([]);
  }, 120_000);

  it('keeps an error in its line, and the colours of all others', () => {
    const lines = textOf('two-supplies/plan.festoon').split('\n');
    const damaged = lines.flatMap((line, row) =>
      line.startsWith('#') ? [] : DAMAGES.map((damage) => ({ row, text: lines.with(row, damage(line)).join('\n') })),
    );
    expect(damaged.length).toBeGreaterThan(50);
    const readings = readingsOf(damaged.map(({ text }) => text));
    const whole = namesIn(lines.join('\n'), sure(readingsOf([lines.join('\n')])[0]));
    for (const [index, { row, text }] of damaged.entries()) {
      const reading = sure(readings[index]);
      for (const error of reading.errors) expect(error, text.split('\n')[row]).toEqual([row, row]);
      const elsewhere = (all: readonly (readonly [number, string])[]) => all.filter(([at]) => at !== row);
      expect(elsewhere(namesIn(text, reading)), text.split('\n')[row]).toEqual(elsewhere(whole));
    }
  }, 120_000);
});

/** What a slip of the hand does to a line, and no brace is lost by it. */
const DAMAGES: readonly ((line: string) => string)[] = [
  (line) => `${line.replace(/ \{$/, '')} )${line.endsWith(' {') ? ' {' : ''}`,
  (line) => line.replace(/(\w)\.(\w)/, '$1..$2'),
  (line) => line.replace(/[\])]/, ''),
  (line) => line.replace(/" *$/, ''),
];

/** Colours of what starts at an offset. */
function capturesByPlace(text: string, { captures }: Reading): Map<number, string[]> {
  const bytes = Buffer.from(text);
  const found = new Map<number, string[]>();
  for (const [name, first] of captures) {
    const start = bytes.subarray(0, first).toString().length;
    const names = found.get(start) ?? [];
    if (!names.includes(name)) found.set(start, [...names, name]);
  }
  return found;
}

/** Words that are captured, with their rows. */
function namesIn(text: string, { captures }: Reading): [number, string][] {
  const bytes = Buffer.from(text);
  return captures.map(([name, start, end]) => [
    bytes.subarray(0, start).toString().split('\n').length - 1,
    `${name} ${bytes.subarray(start, end)}`,
  ]);
}

const COLOURS: Readonly<Record<SemanticType, string>> = {
  class: 'type',
  namespace: 'namespace',
  variable: 'variable',
  property: 'property',
};
