/**
 * `node tests/bench/soak.mjs [--minutes MINUTES] [--edits COUNT] [--seed SEED] [--rush]`: types five times a second into the
 * boathouse sample, or with --rush as fast as it is answered, until the time is over or as many edits are made, and asks
 * the built server what an editor asks.
 * Afterwards the server must be there, every request answered, and all that can be seen the same as a fresh server shows
 * of the same texts. In half an hour or more its memory must be flat too. The last line is JSON.
 * RESULTS-RELIABILITY.md says what came of it.
 */
import { cpSync, mkdtempSync, readdirSync, readFileSync, realpathSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { setTimeout as sleep } from 'node:timers/promises';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { parseArgs } from 'node:util';
import { SoakEditor } from './soak-editor.mjs';
import { ask, startFrom, type } from './soak-typing.mjs';

const EDITS_A_SECOND = 5;
const A_MINUTE = 60 * EDITS_A_SECOND;
/** Minutes before memory counts: caches fill, and the collector of garbage finds its pace. */
const WARM_UP = 10;
/** Megabytes an hour by which the memory in use may grow after that. */
const MOST_GROWTH = 5;
/** Fewer say nothing about a slope. */
const LEAST_READINGS = 15;

const { values } = parseArgs({
  options: {
    minutes: { type: 'string', default: '60' },
    edits: { type: 'string', default: 'Infinity' },
    seed: { type: 'string', default: '1' },
    rush: { type: 'boolean', default: false },
  },
});
const [longest, count] = [Number(values.minutes), Number(values.edits)];
startFrom(Number(values.seed));

/** Types and asks to the end; gives the edits made, and the memory of each minute. */
async function session(editor) {
  const undo = [];
  const readings = [];
  const from = performance.now();
  const minutes = () => (performance.now() - from) / 60_000;
  let n = 0;
  for (; n < count && minutes() < longest && editor.ended === undefined; n++) {
    if (!values.rush) await sleep(Math.max(0, from + (n * 1000) / EDITS_A_SECOND - performance.now()));
    const place = await type(editor, undo);
    ask(editor, place, n);
    if (n % 60 === 59) await editor.save(place.uri);
    // A client that never waits would measure the length of its own queue.
    if (n % 10 === 9) await editor.answers();
    if (n % A_MINUTE !== A_MINUTE - 1) continue;
    await editor.close(place.uri);
    await editor.open(place.uri);
    const { resident, live } = await editor.memory();
    readings.push({ minutes: minutes(), resident, live });
    const sizes = `${resident.toFixed(1)} MB resident, ${live.toFixed(1)} MB in use`;
    console.log(`${minutes().toFixed(1)} min: ${n + 1} edits, ${editor.asked} asked, ${sizes}`);
  }
  await editor.answers();
  return { edits: n, readings };
}

/** The straight line of least squares through memory after the warm-up: its slope in megabytes an hour. */
function slopeOf(readings, key) {
  const points = readings.filter(({ minutes }) => minutes >= WARM_UP).map((each) => [each.minutes / 60, each[key]]);
  if (points.length < LEAST_READINGS) return undefined;
  const mean = (list) => list.reduce((sum, each) => sum + each, 0) / list.length;
  const [x, y] = [mean(points.map(([at]) => at)), mean(points.map(([, size]) => size))];
  const spread = points.reduce((sum, [at]) => sum + (at - x) ** 2, 0);
  return points.reduce((sum, [at, size]) => sum + (at - x) * (size - y), 0) / spread;
}

/** What is wrong with a session that has ended. */
async function faultsOf(editor, fresh, slope) {
  const faults = [...editor.refused];
  if (editor.ended !== undefined) return [...faults, `the server ended with ${editor.ended}`];
  const kept = await editor.seen();
  fresh.texts = editor.texts;
  await fresh.start();
  const anew = await fresh.seen();
  const differing = kept.findIndex((view, index) => view !== anew[index]);
  if (differing >= 0) faults.push(`it shows ${kept[differing]}\nand a fresh one ${anew[differing]}`);
  if (editor.asked !== editor.answered) faults.push(`${editor.asked - editor.answered} requests have no answer`);
  if (slope > MOST_GROWTH) faults.push(`its memory grows by ${slope} MB/h`);
  for (const each of [editor, fresh]) {
    const code = await each.stop();
    if (code !== 0) faults.push(`a server ended with ${code}`);
  }
  return faults;
}

const sample = fileURLToPath(new URL('../../samples/boathouse', import.meta.url));
const folder = realpathSync(mkdtempSync(join(tmpdir(), 'festoon-soak-')));
cpSync(sample, folder, { recursive: true });
const texts = readdirSync(folder)
  .filter((name) => name.endsWith('.festoon'))
  .map((name) => [pathToFileURL(join(folder, name)).href, readFileSync(join(folder, name), 'utf8')]);
const editor = new SoakEditor(pathToFileURL(folder).href, texts);
const fresh = new SoakEditor(pathToFileURL(folder).href, []);
try {
  await editor.start();
  const { edits, readings } = await session(editor);
  const { asked, overtaken } = editor;
  const [live, resident] = ['live', 'resident'].map((key) => slopeOf(readings, key));
  const faults = await faultsOf(editor, fresh, live);
  for (const fault of faults) console.log(fault);
  console.log(JSON.stringify({ edits, asked, overtaken, faults: faults.length, megabytesAnHour: { live, resident } }));
  process.exitCode = faults.length > 0 || edits === 0 ? 1 : 0;
} finally {
  editor.kill();
  fresh.kill();
  rmSync(folder, { recursive: true, force: true });
}
