import { isHuge } from '../is-huge.ts';
import { fixtureTexts, sampleTexts } from './corpus.ts';
import { holdFixes } from './fix-invariants.ts';
import { holdInput, inputKinds } from './hold-input.ts';
import { wildSession } from './long-protocol.ts';
import { hostOfText, MAIN } from './plan-host.ts';
import { Random } from './random.ts';
import { forReplay, replayEdits } from './replay-edits.ts';
import { worsened } from './worsened.ts';

/** Runs a subject from a seed until so many inputs, or compared edits, are done; writes a line for each failure. */
const RUNS: Readonly<Record<string, (seed: number, count: number) => Outcome | Promise<Outcome>>> = {
  inputs,
  edits,
  fixes,
  protocol,
};

interface Outcome {
  readonly done: number;
  readonly failed: number;
  /** Where it is not this process that computes. */
  readonly seconds?: number;
  readonly memory?: number;
  /** ms of processor time: from a cancellation to its answer, for half of them, for all but one in twenty, for all. */
  readonly cancelled?: {
    readonly count: number;
    readonly half: number;
    readonly most: number;
    readonly all: number;
    readonly slowest: string;
  };
}

/** Networks of a million pixels have tests of their own; here they would take the time of a thousand other inputs each. */
const texts = [...fixtureTexts(), ...sampleTexts()].filter(({ text }) => !isHuge(text, 6));

function inputs(seed: number, count: number): Outcome {
  const kinds = inputKinds(texts);
  const total = kinds.reduce((sum, [, usual]) => sum + usual, 0);
  let [done, failed] = [0, 0];
  for (const [name, usual, make] of kinds) {
    const share = Math.ceil((usual * count) / total);
    for (let index = 0; index < share; index++, done++) {
      const random = new Random(seed + index * 7919);
      const text = make(random);
      if (failsOf(`${name}, seed ${seed}, case ${index}`, text, () => holdInput(text, random, index))) failed++;
    }
  }
  return { done, failed };
}

/** Plans gone wrong, of which every fix is tried. */
function fixes(seed: number, count: number): Outcome {
  let failed = 0;
  for (let index = 0; index < count; index++) {
    const text = worsened(new Random(seed + index * 7919), texts);
    if (failsOf(`fixes, seed ${seed}, case ${index}`, text, () => holdFixes(() => hostOfText(text), MAIN, MAIN)))
      failed++;
  }
  return { done: count, failed };
}

function edits(seed: number, count: number): Outcome {
  const small = forReplay(texts);
  let [done, failed] = [0, 0];
  for (let index = 0; done + failed < count; index++) {
    const fails = failsOf('edits', '', () => {
      done += replayEdits(seed, index, small);
    });
    if (fails) failed++;
  }
  return { done, failed };
}

/** Messages, to one packed server. */
async function protocol(seed: number, count: number): Promise<Outcome> {
  const { faults, cancelled, ...session } = await wildSession(seed, count, texts);
  for (const message of faults) console.log(JSON.stringify({ what: `protocol, seed ${seed}`, message }));
  const share = (part: number) => Math.round(cancelled[Math.ceil(part * cancelled.length) - 1]?.ms ?? Number.NaN);
  const times = {
    count: cancelled.length,
    half: share(0.5),
    most: share(0.95),
    all: share(1),
    slowest: cancelled.at(-1)?.what ?? '',
  };
  return { ...session, failed: faults.length, cancelled: times };
}

/** Whether a case fails, or computes for so long that a person would think that it hangs. */
function failsOf(what: string, text: string, run: () => void): boolean {
  const from = process.cpuUsage();
  let message: string | undefined;
  try {
    run();
  } catch (error) {
    message = error instanceof Error ? error.message : String(error);
  }
  const seconds = secondsSince(from);
  if (message === undefined && seconds > SLOW) message = `took ${seconds.toFixed(1)} s`;
  if (message !== undefined) console.log(JSON.stringify({ what, message, text }));
  return message !== undefined;
}

const SLOW = 20;

/** Seconds of processor time. */
function secondsSince(from: NodeJS.CpuUsage): number {
  const { user, system } = process.cpuUsage(from);
  return (user + system) / 1e6;
}

const [subject = '', seed, count] = process.argv.slice(2);
const run = RUNS[subject];
if (run === undefined) throw new Error(`there is no subject "${subject}"`);
const from = process.cpuUsage();
const outcome = await run(Number(seed), Number(count));
const seconds = Math.round(secondsSince(from));
const memory = Math.round(process.memoryUsage().rss / 2 ** 20);
console.log(JSON.stringify({ subject, seed: Number(seed), seconds, memory, ...outcome }));
