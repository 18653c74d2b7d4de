/**
 * `node tests/mutation/run.mjs FOLDER [--count COUNT] [--seed SEED] [--tests PATH,…] [--only ID,…] [--except RECORD,…]
 * [--quick SECONDS] [--slowest SECONDS] [--patience SECONDS]`:
 * plants small mistakes in server/src/FOLDER, a seeded sample of COUNT, and looks for each whether a test of `npm test`
 * notices. First the quick tests of the folder are tried, then, on what survived these, slower ones and those of other
 * folders that reach the place, until their patience is used up. The score is the share that is noticed; the rest is
 * listed. All mistakes are bundled at once, each behind a switch, so that one process can try hundreds. Messages are not
 * changed: what they say is no reckoning. What the type check refuses is not planted, and what nothing can notice
 * (`equivalent.mjs`) is counted apart. Paths are those of tests/unit; `--patience 0` leaves the second round out.
 * `--except` passes over what earlier runs have tried, of which each leaves its record in the cache.
 */
import { readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { parseArgs } from 'node:util';
import { cache } from '../../client/scripts/workshop.mjs';
import { bundleTests } from './bundle-tests.mjs';
import { sample } from './sample.mjs';
import { TestProcess } from './test-process.mjs';

const { values, positionals } = parseArgs({
  allowPositionals: true,
  options: {
    count: { type: 'string', default: '150' },
    seed: { type: 'string', default: '1' },
    tests: { type: 'string' },
    only: { type: 'string' },
    except: { type: 'string' },
    quick: { type: 'string', default: '6' },
    slowest: { type: 'string', default: '1.5' },
    patience: { type: 'string', default: '60' },
  },
});
const [folder = 'electrics'] = positionals;
const { seed } = values;
const count = Number(values.count);

/**
 * The two rounds: which tests, of which none is taken that needs more than `slowest` seconds of processor time, and how
 * many seconds of tests each mistake is tried with at most. What is left out makes the score a lower bound.
 */
const ROUNDS = [
  {
    name: 'quick tests',
    tests: values.tests?.split(',') ?? [`${folder}/`],
    without: ['electrics/simulator'],
    slowest: Number(values.slowest),
    patience: Number(values.quick),
  },
  {
    name: 'slower tests',
    // The rest of the folder, and what else reckons with its results.
    tests:
      'electrics/ checks/ model/ analysis/corners cli/worked cli/claims ide/fixtures planning/fixes house/generated'.split(
        ' ',
      ),
    without: [],
    slowest: 30,
    patience: Number(values.patience),
  },
];
/** It needs a real Vitest. */
const NEVER = 'checks/internal';

function testFiles({ tests, without }) {
  const unit = fileURLToPath(new URL('../unit/', import.meta.url));
  return readdirSync(unit, { recursive: true })
    .filter((path) => path.endsWith('.test.ts') && tests.some((each) => path.startsWith(each)))
    .filter((path) => ![...without, NEVER].some((each) => path.startsWith(each)))
    .sort()
    .map((path) => join(unit, path));
}

/** How many mistakes each test has noticed so far, by its name; also those of earlier runs, as far as there are records. */
const noticedBy = new Map();
const credit = (by) => noticedBy.set(by, 1 + (noticedBy.get(by) ?? 0));
for (const name of readdirSync(cache('mutation'))) {
  if (!name.startsWith(`${folder}-`) || !name.endsWith('.json')) continue;
  for (const { by } of JSON.parse(readFileSync(join(cache('mutation'), name), 'utf8')))
    if (by !== undefined) credit(by);
}

/**
 * The tests that reach a mutant, or all where it is reached while they are read in: those first that notice most in
 * little time, and no more than there is time for.
 */
function orderFor({ id, tried = [] }, { atStart, known }, { slowest, patience }) {
  const isStatic = atStart.some(([reached]) => reached === id);
  const isReaching = ({ reaches }) => reaches.some(([reached]) => reached === id);
  const apt = known.filter(({ passes, seconds, name }) => passes && seconds <= slowest && !tried.includes(name));
  const reaching = isStatic ? apt : apt.filter(isReaching);
  const worth = ({ name, seconds }) => (1 + (noticedBy.get(name) ?? 0)) / (seconds + 0.01);
  reaching.sort((a, b) => worth(b) - worth(a));
  let taken = 0;
  const tests = reaching.filter(({ seconds }) => {
    taken += seconds;
    return taken <= patience;
  });
  return { isStatic, tests };
}

async function verdictOn(mutant, bundle, survey, round, shared) {
  const { id } = mutant;
  const { isStatic, tests } = orderFor(mutant, survey, round);
  if (tests.length === 0) return { verdict: mutant.verdict ?? 'not reached' };
  const runner = isStatic ? new TestProcess(bundle, id) : await shared();
  const times = tests.flatMap(({ reaches }) => reaches.filter(([reached]) => reached === id).map(([, hits]) => hits));
  const most = 1000 + 100 * Math.max(0, ...times);
  try {
    if (isStatic) await runner.ready();
    // A mistake that makes a test take this much longer is noticed; no machine is so busy that it is that slow.
    const longest = Math.max(...tests.map(({ seconds }) => seconds));
    const order = tests.map(({ index }) => index);
    const { by } = await runner.tell({ mutant: id, order, most }, 30_000 + 30_000 * longest);
    if (by !== undefined) return { verdict: 'noticed', by: survey.known[by].name };
    return { verdict: 'survived', tried: tests.map(({ name }) => name) };
  } catch (error) {
    return { verdict: 'noticed', by: error.message };
  } finally {
    if (isStatic) runner.end();
  }
}

/** Tries each mutant with the tests of one round; gives the same mutants with their verdicts. */
async function inRound(mutants, round) {
  const outfile = join(cache('mutation'), `${folder}-${process.pid}.mjs`);
  const bundle = await bundleTests(outfile, testFiles(round), mutants);
  let running = new TestProcess(bundle);
  await running.ready();
  const survey = await running.tell({});
  const failing = survey.known.filter(({ passes }) => !passes);
  console.log(`${round.name}: ${survey.known.length}, ${failing.length} of them not usable here`);
  for (const { name } of failing) console.log(`  ${name}`);
  const shared = async () => {
    if (running.ended) {
      running = new TestProcess(bundle);
      await running.ready();
    }
    return running;
  };
  const judged = [];
  for (const mutant of mutants) {
    const outcome = await verdictOn(mutant, bundle, survey, round, shared);
    if (outcome.by !== undefined) credit(outcome.by);
    judged.push({ ...mutant, ...outcome });
    if (!isNoticed(outcome)) tell({ ...mutant, ...outcome });
    if (judged.length % 25 === 0) console.log(`  ${judged.length} tried, ${judged.filter(isNoticed).length} noticed`);
  }
  running.end();
  rmSync(bundle);
  return judged;
}

/** The interval of Wilson that holds the true share with 95 % certainty. */
function interval(share, n) {
  const z = 1.96;
  const middle = (share + (z * z) / (2 * n)) / (1 + (z * z) / n);
  const half = (z / (1 + (z * z) / n)) * Math.sqrt((share * (1 - share)) / n + (z * z) / (4 * n * n));
  return [middle - half, middle + half];
}

function tell({ verdict, reason, id, file, line, within, what }) {
  console.log(`${verdict}${reason ? ' (equivalent)' : ''}: #${id} ${file}:${line} ${within}  ${what}`);
}

const percent = (share) => `${(100 * share).toFixed(1)} %`;
const isNoticed = ({ verdict }) => verdict === 'noticed';

function score(what, judged) {
  const noticed = judged.filter(isNoticed).length;
  const share = noticed / judged.length;
  const between = interval(share, judged.length).map(percent).join(' and ');
  console.log(`${folder}, seed ${seed}, ${what}: ${noticed} of ${judged.length}, ${percent(share)}, 95 % ${between}`);
}

const only = values.only?.split(',');
let judged = sample(folder, count, Number(seed), values.except?.split(',')).filter(
  ({ id }) => only === undefined || only.includes(String(id)),
);
for (const round of ROUNDS) {
  const left = judged.filter((mutant) => !isNoticed(mutant));
  if (left.length === 0 || round.patience === 0) continue;
  const again = new Map((await inRound(left, round)).map((mutant) => [mutant.id, mutant]));
  judged = judged.map((mutant) => again.get(mutant.id) ?? mutant);
  score('all', judged);
  score(
    'without equivalent ones',
    judged.filter((mutant) => isNoticed(mutant) || mutant.reason === undefined),
  );
}
writeFileSync(join(cache('mutation'), `${folder}-${seed}.json`), JSON.stringify(judged, null, 1));
