/**
 * `node tests/mutation/run.mjs FOLDER [--count COUNT] [--seed SEED] [--tests PATH,…] [--without PATH,…] [--only ID,…]
 * [--patience SECONDS]`:
 * plants small mistakes in server/src/FOLDER, a seeded sample of COUNT, and looks for each whether a test notices. The
 * score is the share that is noticed; the rest is listed. All mistakes are bundled at once, each behind a switch, so that
 * one process can try hundreds. Paths are those of tests/unit. Messages are not changed: what they say is no reckoning.
 */
import { readdirSync, readFileSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { at, cache } from '../../client/scripts/workshop.mjs';
import { bundleTests } from './bundle-tests.mjs';
import { mutantsOf } from './mutants.mjs';
import { TestProcess } from './test-process.mjs';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    count: { type: 'string', default: '400' },
    seed: { type: 'string', default: '1' },
    tests: { type: 'string', default: 'electrics/,checks/,model/,cli/worked,cli/claims' },
    without: { type: 'string', default: 'electrics/simulator,model/netlist,model/bad-input,model/place-of-node' },
    only: { type: 'string' },
    patience: { type: 'string', default: '20' },
  },
});
const [folder = 'electrics'] = positionals;
const { count, seed } = values;
/** Tests that take longer, in seconds of processor time, are left out; so the score is a lower bound. */
const SLOWEST = 3;
/** Seconds of tests that a mistake is tried with at most. */
const PATIENCE = Number(values.patience);
/** It needs a real Vitest. */
const NEVER = 'checks/internal';

/** Every place that could be wrong in the folder, and of these a sample that is the same for the same seed. */
function sample() {
  const root = at('server', 'src', folder);
  const paths = readdirSync(root, { recursive: true }).filter((path) => path.endsWith('.ts'));
  const all = paths.sort().flatMap((path) => {
    const source = readFileSync(join(root, path), 'utf8');
    return mutantsOf(source, path).map((mutant) => ({ ...mutant, path: join(root, path), file: path }));
  });
  let state = Number(seed) >>> 0;
  const below = (most) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * most);
  };
  for (let index = all.length - 1; index > 0; index--) {
    const other = below(index + 1);
    [all[index], all[other]] = [all[other], all[index]];
  }
  console.log(`${all.length} places in server/src/${folder}`);
  return all.slice(0, Number(count)).map((mutant, id) => ({ ...mutant, id }));
}

function testFiles() {
  const unit = fileURLToPath(new URL('../unit/', import.meta.url));
  return readdirSync(unit, { recursive: true })
    .filter((path) => path.endsWith('.test.ts') && values.tests.split(',').some((each) => path.startsWith(each)))
    .filter((path) => ![...values.without.split(','), NEVER].some((each) => each !== '' && path.startsWith(each)))
    .sort()
    .map((path) => join(unit, path));
}

/**
 * The tests that reach a mutant, or all where it is reached while they are read in: those first that are named after its
 * file, then the quickest, and no more than there is time for.
 */
function orderFor({ id, file }, { atStart, known }) {
  const subject = file.replace(/^.*[\\/]|\.ts$/g, '');
  const isStatic = atStart.some(([reached]) => reached === id);
  const apt = known.filter(({ passes, seconds }) => passes && seconds <= (isStatic ? SLOWEST / 4 : SLOWEST));
  const reaching = isStatic ? apt : apt.filter(({ reaches }) => reaches.some(([reached]) => reached === id));
  const isOwn = ({ name }) => name.includes(subject);
  reaching.sort((a, b) => Number(isOwn(b)) - Number(isOwn(a)) || a.seconds - b.seconds);
  let taken = 0;
  const tests = reaching.filter(({ seconds }) => {
    taken += seconds;
    return taken <= PATIENCE;
  });
  return { isStatic, tests };
}

async function verdictOn(mutant, bundle, survey, shared) {
  const { id } = mutant;
  const { isStatic, tests } = orderFor(mutant, survey);
  if (tests.length === 0) return { verdict: 'not reached' };
  const runner = isStatic ? new TestProcess(bundle, id) : await shared();
  const times = tests.flatMap(({ reaches }) => reaches.filter(([reached]) => reached === id).map(([, hits]) => hits));
  const most = 1000 + 100 * Math.max(0, ...times);
  try {
    if (isStatic) await runner.ready();
    const { by } = await runner.tell({ mutant: id, order: tests.map(({ index }) => index), most });
    return by === undefined ? { verdict: 'survived' } : { verdict: 'noticed', by: survey.known[by].name };
  } catch (error) {
    return { verdict: 'noticed', by: error.message };
  } finally {
    if (isStatic) runner.end();
  }
}

/** The interval of Wilson that holds the true share with 95 % certainty. */
function interval(share, n) {
  const z = 1.96;
  const middle = (share + (z * z) / (2 * n)) / (1 + (z * z) / n);
  const half = (z / (1 + (z * z) / n)) * Math.sqrt((share * (1 - share)) / n + (z * z) / (4 * n * n));
  return [middle - half, middle + half];
}

const percent = (share) => `${(100 * share).toFixed(1)} %`;

const only = values.only?.split(',');
const chosen = sample().filter(({ id }) => only === undefined || only.includes(String(id)));
const bundle = await bundleTests(join(cache('mutation'), `${folder}.mjs`), testFiles(), chosen);
let process_ = new TestProcess(bundle);
await process_.ready();
const survey = await process_.tell({});
const failing = survey.known.filter(({ passes }) => !passes);
console.log(`${survey.known.length} tests, ${failing.length} of them not usable here`);
for (const { name } of failing) console.log(`  ${name}`);
const shared = async () => {
  if (process_.ended) {
    process_ = new TestProcess(bundle);
    await process_.ready();
  }
  return process_;
};
const results = [];
for (const mutant of chosen) {
  const { verdict, by } = await verdictOn(mutant, bundle, survey, shared);
  results.push({ ...mutant, verdict, by });
  if (verdict !== 'noticed') console.log(`${verdict}: #${mutant.id} ${mutant.file}:${mutant.line}  ${mutant.what}`);
}
process_.end();
writeFileSync(join(cache('mutation'), `${folder}-${seed}.json`), JSON.stringify(results, null, 1));
const noticed = results.filter(({ verdict }) => verdict === 'noticed').length;
const share = noticed / results.length;
console.log(
  `${folder}, seed ${seed}: ${noticed} of ${results.length} noticed, ${percent(share)}, 95 % between ${interval(share, results.length).map(percent).join(' and ')}`,
);
