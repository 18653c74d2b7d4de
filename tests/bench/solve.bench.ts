/** The solver against SciPy's sparse LU and against ngspice; started by `run.mjs`. */
import { spawnSync } from 'node:child_process';
import { writeFileSync } from 'node:fs';
import { cpus, totalmem } from 'node:os';
import { join } from 'node:path';
import type { Circuit } from '#server/electrics/circuit.ts';
import { prepare } from '#server/electrics/prepare.ts';
import type { Solution } from '#server/electrics/solution.ts';
import { seededRandom } from '../support/random-circuit.ts';
import { writeFlat } from './flatten.ts';
import { measure, processorTime, show, sink, type Timing, timingOf } from './measure.ts';
import { displayCircuit, meshCircuit, thirstyPixel } from './networks.ts';
import { writeDeck } from './ngspice-deck.ts';

const [here = '.', folder = '.', ...flags] = process.argv.slice(2);
const lines: string[] = [];

function say(line: string): void {
  console.log(line);
  lines.push(line);
}

function solvedBy(circuit: Circuit): Solution {
  const solution = prepare(circuit).solve();
  if (solution.status !== 'solved') throw new Error(`not solved: ${JSON.stringify(solution)}`);
  return solution;
}

function leastVolts(solution: Solution): number {
  const pixels = solution.stretches.reduce((least, s) => Math.min(least, s.leastVolts), Infinity);
  return solution.loadVolts.reduce((least, volts) => Math.min(least, volts), pixels);
}

/** Ours: everything, from the circuit to its solution, and the solving alone. */
function ours(circuit: Circuit): { whole: Timing; alone: Timing; solution: Solution } {
  const alone: number[] = [];
  const once = () => {
    const prepared = prepare(circuit);
    const begin = processorTime();
    sink.value = prepared.solve();
    alone.push(processorTime() - begin);
  };
  const warmUp = 8;
  const whole = measure(warmUp, 21, once);
  return { whole, alone: timingOf(alone.slice(warmUp)), solution: solvedBy(circuit) };
}

interface Reference {
  readonly prepareSeconds: number;
  readonly seconds: readonly number[];
  readonly iterations: number;
  readonly leastVolts: number;
}

/** The ways of doing it with SciPy, each with its program. */
const ways = [
  { name: 'SciPy, plain', script: 'scipy-plain.py' },
  { name: 'SciPy, tuned', script: 'scipy-newton.py' },
] as const;

function scipy(script: string, path: string, repeats: number): Reference | undefined {
  const run = spawnSync('python3', ['-B', join(here, script), path, String(repeats)], {
    encoding: 'utf8',
    env: { ...process.env, OMP_NUM_THREADS: '1', OPENBLAS_NUM_THREADS: '1' },
  });
  return run.status === 0 ? (JSON.parse(run.stdout) as Reference) : undefined;
}

function againstScipy(title: string, circuit: Circuit, repeats: number): void {
  const own = ours(circuit);
  say(`### ${title}`);
  say('');
  const { nodeCount, stretches, loads } = circuit;
  const pixels = stretches.reduce((sum, { count }) => sum + count, loads.length);
  say(`${pixels.toLocaleString('en')} loads, ${nodeCount.toLocaleString('en')} nodes beside the pixels.`);
  say('');
  say('| | from the circuit to its solution | solving alone, structure at hand | iterations |');
  say('|---|---|---|---|');
  say(`| this solver | ${show(own.whole)} | ${show(own.alone)} | ${own.solution.iterations} |`);
  const path = join(folder, 'network.bin');
  writeFlat(path, circuit);
  const apart: number[] = [];
  const faster: string[] = [];
  const goals: string[] = [];
  for (const { name, script } of ways) {
    const reference = scipy(script, path, repeats);
    if (reference === undefined) {
      say(`| ${name} | not available | | |`);
      continue;
    }
    const { prepareSeconds, seconds, iterations } = reference;
    const solve = timingOf(seconds.map((each) => 1000 * each));
    const whole = timingOf(seconds.map((each) => 1000 * (each + prepareSeconds)));
    // The plain way builds everything in each iteration: it has no structure at hand.
    const alone = prepareSeconds > 0 ? show(solve) : '';
    say(`| ${name} | ${show(whole)} | ${alone} | ${iterations} |`);
    const times = (a: Timing, b: Timing) => `**${(a.median / b.median).toFixed(1)}**`;
    faster.push(
      `| **times faster than ${name}** | ${times(whole, own.whole)} | ${alone === '' ? '' : times(solve, own.alone)} | |`,
    );
    goals.push(`${(whole.median / 300).toFixed(0)} ms for ${name}`);
    apart.push(Math.abs(reference.leastVolts / leastVolts(own.solution) - 1));
  }
  for (const line of faster) say(line);
  say('');
  if (apart.length > 0) {
    const most = Math.max(...apart);
    say(
      `Least voltage of any load: ${leastVolts(own.solution).toFixed(6)} V; they differ by ${most.toExponential(1)}.`,
    );
    say('');
    if (!(most < 1e-6)) throw new Error('the solvers disagree');
  }
}

function againstNgspice(circuit: Circuit): void {
  const own = ours(circuit);
  say('### 100,000 pixels against ngspice');
  say('');
  say('The simulator with `pivrel=0.9`, its own time for the analysis alone, without reading the deck.');
  say('');
  const deck = join(folder, 'display.cir');
  writeDeck(deck, circuit);
  const run = spawnSync('ngspice', ['-b', deck], { encoding: 'utf8', maxBuffer: 1 << 28 });
  const seconds = Number(/analysis time \(seconds\) = ([0-9.e+-]+)/i.exec(run.stdout ?? '')?.[1]);
  const probe = [...(run.stdout ?? '').matchAll(/^v\(n\d+\) = (\S+)/gm)].map((match) => Number(match[1]));
  say('| | time |');
  say('|---|---|');
  say(`| this solver, from the circuit to its solution | ${show(own.whole)} |`);
  if (Number.isFinite(seconds) && probe.length === 2) {
    say(`| ngspice, one \`.op\` | ${seconds.toFixed(1)} s |`);
    say(`| **times faster** | **${((1000 * seconds) / own.whole.median).toFixed(0)}** |`);
    const last = circuit.stretches[circuit.stretches.length - 1]!;
    const volts = own.solution.nodeVolts[last.positiveEnd]! - own.solution.nodeVolts[last.negativeEnd]!;
    say('');
    say(`Voltage of the last pixel: ${volts.toFixed(5)} V here, ${(probe[0]! - probe[1]!).toFixed(5)} V there.`);
  } else {
    say('| ngspice | not available |');
  }
  say('');
}

function faults(circuit: Circuit): void {
  const prepared = prepare(circuit);
  prepared.solve();
  const random = seededRandom(3);
  const fuse = () => Math.floor(random() * circuit.resistors.length);
  const cut = (precision: number) => measure(20, 200, () => prepared.solveWithout({ resistors: [fuse()] }, precision));
  const [rough, full] = [cut(1e-4), cut(0)];
  say('### One fuse, cable or connector lost, in a display of a million pixels');
  say('');
  say('| | each |');
  say('|---|---|');
  say(`| to a tenth of a millivolt | ${show(rough)} |`);
  say(`| in full | ${show(full)} |`);
  say('');
}

function memory(circuit: Circuit): void {
  const used = () => {
    for (let i = 0; i < 3; i++) globalThis.gc?.();
    const { heapUsed, arrayBuffers } = process.memoryUsage();
    return heapUsed + arrayBuffers;
  };
  sink.value = undefined;
  const before = used();
  const prepared = prepare(circuit);
  const solution = prepared.solve();
  const bytes = used() - before;
  sink.value = [prepared, solution];
  const pixels = circuit.stretches.reduce((sum, { count }) => sum + count, 0);
  say('### Memory');
  say('');
  say(`The prepared network and its solution: ${(bytes / pixels).toFixed(1)} bytes a pixel.`);
  say('');
}

say('# How fast the solver is');
say('');
say(
  'Written by `npm run bench -- --write`. Times are processor time of all threads (garbage collection included), since',
);
say('others work on the machine too: medians with their spread. Compare ratios, not times.');
const gigabytes = Math.round(totalmem() / 2 ** 30);
say(
  `Machine: ${cpus().length} processor cores of a shared server, ${gigabytes} GB of memory, Node ${process.versions.node.split('.')[0]}.`,
);
say('Networks are seeded (`networks.ts`). All start from the same flat guess and stop at the same size of step.');
say('');
say(
  '- *SciPy, plain* (`scipy-plain.py`) is the way that a person would first write it: `spsolve` with default settings on',
);
say('  a matrix summed anew in each iteration. Its column ordering and its pivoting know nothing of symmetry.');
say(
  '- *SciPy, tuned* (`scipy-newton.py`) has the settings that suit it best: minimum degree on the symmetric pattern, no',
);
say('  pivoting off the diagonal, and a matrix summed from places that are found once.');
say('');
say(
  'On a display the two come out alike: its network is nearly a tree, on which any order does. On a mesh the order tells.',
);
say('');
const million = displayCircuit(1000, 1000);
memory(million);
againstScipy('A million pixels in a thousand runs, about a tenth of them below a knee', million, 1);
againstScipy('The same with most pixels below a knee', displayCircuit(1000, 1000, 1, thirstyPixel), 1);
againstNgspice(displayCircuit(100, 1000));
againstScipy('A mesh of 20,000 joints', meshCircuit(100), 9);
faults(million);
const remaining = `
### What is left

Pixels in regulation cost nothing: their stretch is one resistor with a known current at either end. What remains of
a million pixels, from profiles of the whole way from the circuit to its solution:

- A third is the structure: validation, resistors in series, islands and the order of elimination each visit the
  sixty thousand elements. Corners, looks and faults do not pay for it again (the column on the right).
- A quarter is the factor of 25,000 joint rows in each iteration and the solutions with it, a sixth the pixels below a
  knee, a fifth the passes over all elements in each iteration, and a twelfth the collection of garbage: each
  measurement throws a whole prepared network away. The number of iterations is that of SciPy: it is the same method.
- In the second table half of the time goes to the pixels below a knee. While the joints still move by much, a stretch is
  known at every eighth pixel only; then each pixel is visited four or five times, of which the last proves
  Kirchhoff's law at each. A knee is a smooth curve of the voltage, so that no formula gives such a stretch in one go.

So the bound is set by the joints, here one for every forty pixels, and by the pixels below a knee, not by the count of
pixels: the fewer taps and knees, the larger the factor. Where most pixels are below a knee both methods eliminate them
one by one, and what is left is one unknown a pixel instead of two, without fill, indices or pivoting.`;
for (const line of remaining.trimStart().split('\n')) say(line);
if (flags.includes('--write')) writeFileSync(join(here, 'RESULTS.md'), `${lines.join('\n').trimEnd()}\n`);
