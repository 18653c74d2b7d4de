/**
 * `npm test`: makes the clone ready, then runs every check and every test of the project.
 * Ends with one line, "N passed, N failed", and exit code 1 when anything failed or a stage ran nothing.
 * Uses only Node's own modules until it has installed the rest.
 */
import { existsSync, readFileSync, rmSync } from 'node:fs';
import { join, relative } from 'node:path';
import { parseArgs } from 'node:util';
import {
  at,
  cache,
  command,
  ensureChromium,
  ensureInstalled,
  ensureNeovim,
  requireNode,
  root,
  run,
  step,
  Trouble,
} from '../client/scripts/workshop.mjs';

const help = `npm test -- [--only STAGE[,STAGE...]] [PATH...]

Installs what is missing, then runs everything: types, Biome, dependency rules, the build and the package,
the unit, protocol and fuzz tests, and the tests in a real editor from the packed extension.

  --only STAGE   one or more of: lint, unit, protocol, fuzz, editor
  PATH           run only the test files whose path contains this text (no lint, no editor)
  --help         this text

CHROMIUM               path of the browser for the editor tests (else: chromium on the PATH)
FESTOON_EDITOR_TOOLS   folder for the editor that the tests install (else: .cache/editor-tools)
VSCODE_PATH            path of a desktop VS Code; the in-editor assertions then run in it as well
`;

const suites = ['unit', 'protocol', 'fuzz'];
const stages = ['lint', ...suites, 'editor'];
const bin = (name) => at('node_modules', '.bin', name);
const node = process.execPath;

/** @type {{ name: string, passed: number, failed: number, skipped: number, seconds: number }[]} */
const results = [];

async function stage(name, body) {
  const from = Date.now();
  console.log(`\n--- ${name}`);
  const { passed, failed, skipped = 0 } = await body();
  const idle = passed + failed === 0;
  if (idle) console.log(`${name}: nothing was executed, and that counts as a failure`);
  results.push({ name, passed, failed: idle ? 1 : failed, skipped, seconds: (Date.now() - from) / 1000 });
}

/** A check that either passes or fails as a whole. */
const gate = (name, program, args) =>
  stage(name, async () => {
    const { code } = await run(program, args);
    return code === 0 ? { passed: 1, failed: 0 } : { passed: 0, failed: 1 };
  });

async function lint() {
  await gate('type check', bin('tsc'), ['-b']);
  await gate('Biome', bin('biome'), ['check', '--error-on-warnings']);
  await gate('dependency rules', bin('depcruise'), [
    '--config',
    '.dependency-cruiser.cjs',
    'grammar/src',
    'server/src',
    'client/src',
  ]);
}

const readReport = (file) => (existsSync(file) ? JSON.parse(readFileSync(file, 'utf8')) : undefined);

/** Runs Vitest once for the named suites and reports each suite by itself. */
async function vitest(names, filters) {
  const file = join(cache('reports'), 'vitest.json');
  rmSync(file, { force: true });
  const projects = names.flatMap((name) => ['--project', name]);
  const report = ['--reporter=default', '--reporter=json', `--outputFile.json=${file}`];
  const args = ['run', '--config', 'tests/vitest.config.ts', ...projects, ...report, ...filters];
  const from = Date.now();
  console.log(`\n--- ${names.join(', ')}`);
  const { code } = await run(bin('vitest'), args, { seconds: 1800 });
  const seconds = (Date.now() - from) / 1000;
  const counts = new Map(names.map((name) => [name, { passed: 0, failed: 0, skipped: 0 }]));
  for (const { name, status, assertionResults } of readReport(file)?.testResults ?? []) {
    const suite = relative(root, name).split(/[\\/]/)[1];
    const count = counts.get(suite);
    if (count === undefined) throw new Trouble(`${name} belongs to no suite of ${names.join(', ')}`);
    for (const each of assertionResults) {
      if (each.status === 'passed') count.passed++;
      else if (each.status === 'failed') count.failed++;
      else count.skipped++;
    }
    // A file that could not even be loaded has no results of its own.
    if (status === 'failed' && !assertionResults.some((each) => each.status === 'failed')) count.failed++;
  }
  const all = [...counts.entries()];
  const sum = (key) => all.reduce((total, [, count]) => total + count[key], 0);
  for (const [name, count] of all) {
    // With a path filter, one suite may rightly have nothing to run; all of them together may not.
    const idle = count.passed + count.failed === 0 && (filters.length === 0 || sum('passed') + sum('failed') === 0);
    if (idle) console.log(`${name}: nothing was executed, and that counts as a failure`);
    results.push({ name, ...count, failed: idle ? 1 : count.failed, seconds });
  }
  if (code !== 0 && sum('failed') === 0) {
    console.log(`Vitest ended with code ${code} although no test failed`);
    results.push({ name: 'Vitest itself', passed: 0, failed: 1, skipped: 0, seconds: 0 });
  }
}

async function editorTests() {
  const chromium = await ensureChromium();
  await step('Making the editor for the tests ready', node, [at('client', 'scripts', 'editor-tools.mjs')]);
  const env = { CHROMIUM: chromium };
  for (const name of ['host', 'ui', 'drawing', 'web', 'around']) {
    await stage(`editor: ${name}`, async () => {
      const file = join(cache('reports'), `editor-${name}.json`);
      rmSync(file, { force: true });
      const { code, timedOut } = await run(node, [at('tests', 'vscode', `${name}.mjs`), file], { env, seconds: 420 });
      if (timedOut) console.log('stopped: it took longer than seven minutes');
      const { passed = 0, failed = 0 } = readReport(file) ?? {};
      return { passed, failed: failed === 0 && code !== 0 ? 1 : failed };
    });
  }
}

function readArguments() {
  const options = { only: { type: 'string', multiple: true }, help: { type: 'boolean', short: 'h' } };
  try {
    const { values, positionals } = parseArgs({ options, allowPositionals: true });
    const only = values.only?.flatMap((value) => value.split(','));
    const unknown = only?.find((name) => !stages.includes(name));
    if (unknown !== undefined) throw new Error(`there is no stage "${unknown}"; the stages are ${stages.join(', ')}`);
    return { ...values, only, filters: positionals };
  } catch (error) {
    throw new Trouble(`${error.message}\n\n${help}`);
  }
}

async function runStages(only, filters) {
  const wanted = (name) => (only === undefined ? filters.length === 0 || suites.includes(name) : only.includes(name));
  requireNode();
  await ensureInstalled();
  if (wanted('lint')) await lint();
  const wantedSuites = suites.filter((name) => wanted(name) && existsSync(at('tests', name)));
  if (wantedSuites.length > 0 || wanted('editor')) {
    await gate('build', node, [at('client', 'scripts', 'build.mjs')]);
    await gate('package', node, [at('client', 'scripts', 'package.mjs')]);
  }
  if (wantedSuites.includes('protocol') && filters.length === 0) await ensureNeovim();
  if (wantedSuites.length > 0) await vitest(wantedSuites, filters);
  if (wanted('editor')) await editorTests();
}

function summary() {
  console.log(`\n${'stage'.padEnd(18)}passed  failed  skipped   seconds`);
  for (const { name, passed, failed, skipped, seconds } of results) {
    const row = [passed, failed, skipped, seconds.toFixed(1)].map((cell, i) => String(cell).padStart([6, 8, 9, 10][i]));
    console.log(name.padEnd(18) + row.join(''));
  }
  const total = (key) => results.reduce((sum, result) => sum + result[key], 0);
  console.log(`\n${total('passed')} passed, ${total('failed')} failed`);
  return total('failed') === 0 ? 0 : 1;
}

await command(async () => {
  const { only, filters, help: wantsHelp } = readArguments();
  if (wantsHelp) {
    console.log(help);
    return 0;
  }
  try {
    await runStages(only, filters);
  } catch (error) {
    // Something that the tests need could not be had: that too ends with the closing line.
    if (!(error instanceof Trouble)) throw error;
    console.error(`\n${error.message}`);
    results.push({ name: 'getting ready', passed: 0, failed: 1, skipped: 0, seconds: 0 });
  }
  return summary();
});
