/** The language server on Node: over standard input and output (`--stdio`), a pipe, a socket, or the editor's own channel. */
import { Console } from 'node:console';
import { existsSync } from 'node:fs';
import { join } from 'node:path';
import { pathToFileURL } from 'node:url';
import { getHeapSpaceStatistics, setFlagsFromString } from 'node:v8';
import { type Connection, createConnection, type MessageReader, ProposedFeatures } from 'vscode-languageserver/node';
import { lateJson } from './late.ts';
import { localDisk } from './local-disk.ts';
import { Rehearsal, rehearseWhenQuiet } from './rehearsal.ts';
import { startServer } from './server.ts';
import { WholeMessageWriter } from './whole-message-writer.ts';

/*
 * The heap stays near what lives in it. Left alone, V8 lets a server that answers after each keystroke grow to three times
 * that before it looks for what it can give back. The nursery stays as small as it starts, so that what the next keystroke
 * replaces leaves no large holes, and the heap grows by a seventh of what lives before it is collected. So small a nursery
 * is cleared faster by one thread than by several that wait for each other. Code is optimised when it has run several times
 * as long as V8 would wait (67,584 in Node 20): what runs only while a plan is opened would cost more time and memory to
 * compile than it saves. A runtime that has these settings fixed goes on as it is; one that does not know a setting says so
 * on its standard error, and goes on.
 */
const isFixed = process.execArgv.includes('--freeze-flags-after-init');
const LATE = '--interrupt-budget=400000';
set('--semi-space-growth-factor=1', '--heap-growing-percent=15', '--no-parallel-scavenge', LATE);

/**
 * A small plan has been opened when its text changes again: what runs then runs with each key, and is optimised sooner; much
 * sooner, and compiling takes more than it saves. Its nursery may grow until it is cleared at one key in fifty, and not at
 * one in four; in plans of some thousand lines, half as far.
 *
 * Where plans are large, pages that are a fifth empty are cleared out when the heap is collected, not only those that are
 * empty for the most part, and the nursery is halved: a plan of 20,000 lines is held in 15 MB less, for a sixth more
 * processor time. It would make the answers of a small plan slower by as much, for little.
 */
function textChanged(length: number): void {
  rehearse();
  planLength = length;
  const next = length > LARGE ? 'large' : size === undefined ? 'opened' : hasGrown(length) ? 'small' : 'growing';
  if (next === size) return;
  size = next;
  set(...SETTINGS[next]);
}

/** Characters: about 6,000 lines. */
const LARGE = 200_000;
/** Characters: about 1,500 lines. */
const MIDDLE = 50_000;
/** Bytes of both halves of the nursery, for plans up to that size and above it. */
const [WIDE_NURSERY, NURSERY] = [32 * 2 ** 20, 16 * 2 ** 20];

const SMALL = ['--no-optimize-for-size', '--interrupt-budget=270000'] as const;
const SETTINGS = {
  opened: ['--semi-space-growth-factor=1', LATE],
  growing: [...SMALL, '--semi-space-growth-factor=2'],
  small: [...SMALL, '--semi-space-growth-factor=1'],
  large: ['--optimize-for-size', '--semi-space-growth-factor=1', LATE],
} as const;
let size: keyof typeof SETTINGS | undefined;
/** Characters of all open plans. */
let planLength = 0;

/** Messages that have come. */
let heard = 0;

/**
 * Hardly anything is worth compiling any more: what has run now and then is left as it is, and what runs with each key has
 * to run three times as long as before. A thread that compiles takes a processor from the one that answers, or from
 * the editor that asks: on a machine of two it was seen in one answer of ten, as a wait of two to four milliseconds.
 */
const REHEARSED = ['--max-bytecode-size-for-early-opt=0', '--ticks-before-optimization=10'];

/** Nobody waits while it is rehearsed: what runs then is compiled in half the time that V8 would wait. */
function rehearsal(): Pick<Rehearsal, 'step' | 'end'> {
  const made = new Rehearsal({ late: lateJson, textChanged: () => undefined });
  return {
    step: async () => {
      set(...SETTINGS[hasGrown(planLength) ? 'small' : 'growing'], '--interrupt-budget=33000');
      const goesOn = await made.step();
      set(...SETTINGS[size ?? 'opened'], ...(goesOn ? [] : REHEARSED));
      return goesOn;
    },
    end: () => made.end(),
  };
}

/** Asked for until it is so: to ask costs a hundredth of a key. */
function hasGrown(length: number): boolean {
  if (size === 'small') return true;
  const nursery = getHeapSpaceStatistics().find((space) => space.space_name === 'new_space');
  return (nursery?.space_size ?? 0) >= (length > MIDDLE ? NURSERY : WIDE_NURSERY);
}

/** V8 ends a program that changes what was fixed at its start. */
function set(...settings: readonly string[]): void {
  if (isFixed) return;
  for (const setting of settings) setFlagsFromString(setting);
}

/** The page of codes lies beside the folder of the bundle, in the package as in the tree. */
const page = join(__dirname, '../grammar/CHECKS.md');

const address = existsSync(page) ? pathToFileURL(page).href : undefined;

const connection = process.argv.includes('--stdio') ? overStdio() : createConnection(ProposedFeatures.all);

const rehearse = rehearseWhenQuiet(
  connection.onShutdown,
  () => heard,
  () => size !== 'large',
  rehearsal,
);
const runtime = { late: lateJson, textChanged };
startServer(connection, localDisk, address, runtime);

// Behind what the library does with a message; where neither is the way they come, nothing is rehearsed.
if (process.argv.includes('--stdio')) process.stdin.on('data', hear);
else process.on('message', hear);

function hear(): void {
  heard++;
}

/** Over standard input and output, with a writer of ours. All other transports are the library's to find. */
function overStdio(): Connection {
  // Standard output is the protocol's alone.
  globalThis.console = new Console(process.stderr);
  // The library takes a stream beside a writer too, and ends when the stream does; only its types do not say so.
  const input = process.stdin as unknown as MessageReader;
  return createConnection(ProposedFeatures.all, input, new WholeMessageWriter(process.stdout));
}
