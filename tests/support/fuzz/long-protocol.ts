import { readFileSync } from 'node:fs';
import { setTimeout as pause } from 'node:timers/promises';
import { fileURLToPath } from 'node:url';
import { RawServer } from '../raw-server.ts';
import type { Seedling } from './corpus.ts';
import { Random } from './random.ts';
import { open, placed } from './wild-messages.ts';
import { speakWildly } from './wild-session.ts';

const SERVER = fileURLToPath(new URL('../../../dist/server.cjs', import.meta.url));

/** ms by the clock, also of a busy machine, after which a request counts as not answered. */
const PATIENCE_MS = 300_000;

/** JSON-RPC 2.0, section 5.1. */
const INTERNAL_ERROR = -32603;

/** What takes the server longest, for it must be able to leave it. */
const COSTLY = ['diagnostic', 'codeAction', 'hover', 'inlayHint', 'codeLens', 'documentSymbol', 'completion'];
const PROBE = 'file:///display/probe.festoon';

export interface LongSession {
  readonly done: number;
  readonly faults: readonly string[];
  /** Seconds of the server's processor time, and MB that it held at the end. */
  readonly seconds: number;
  readonly memory: number;
  /** Requests that were answered with something, and with an error. */
  readonly told: number;
  readonly refused: number;
  /** The least first. */
  readonly cancelled: readonly Cancelled[];
}

interface Cancelled {
  /** Of the server's processor time, from the cancellation to the answer. */
  readonly ms: number;
  readonly what: string;
}

/**
 * One packed server, spoken to for so many messages by a client that has lost its mind. After every batch it is asked for
 * something costly about a text that it has not seen, which is cancelled a moment later.
 */
export async function wildSession(seed: number, count: number, texts: readonly Seedling[]): Promise<LongSession> {
  const server = new RawServer(SERVER);
  const random = new Random(seed);
  const faults: string[] = [];
  const cancelled: Cancelled[] = [];
  let done = 0;
  const between = async (index: number) => {
    done = index + 1;
    const found = await cancelCostly(server, random, texts, index);
    if (found !== undefined) cancelled.push(found);
  };
  const late = new AbortController();
  try {
    await Promise.race([live(server, random, count, between), silence(server, late.signal)]);
  } catch (error) {
    faults.push(error instanceof Error ? error.message : String(error));
  }
  late.abort();
  faults.push(...faultsOf(server));
  const seconds = Math.round(processorTimeOf(server.pid) / 1000);
  const memory = memoryOf(server.pid);
  if (faults.length === 0) {
    server.send({ method: 'exit' });
    const code = await server.exit();
    if (code !== 0) faults.push(`the server ended with ${code}`);
  } else server.kill();
  const answers = [...server.answers.values()];
  const refused = answers.filter(({ error }) => error !== undefined).length;
  const told = answers.filter(({ result }) => result !== undefined && result !== null).length;
  return { done, faults, seconds, memory, told, refused, cancelled: cancelled.sort((a, b) => a.ms - b.ms) };
}

async function live(server: RawServer, random: Random, count: number, between: (index: number) => Promise<void>) {
  server.send({ id: 'start', method: 'initialize', params: { processId: null, rootUri: null, capabilities: {} } });
  await server.answersTo(['start']);
  server.send({ method: 'initialized', params: {} });
  await speakWildly(server, random, count, between);
  server.send({ id: 'end', method: 'shutdown' });
  await server.answersTo(['end']);
}

/** Undefined where the answer was quicker than the cancellation. */
async function cancelCostly(
  server: RawServer,
  random: Random,
  texts: readonly Seedling[],
  index: number,
): Promise<Cancelled | undefined> {
  const { name, text } = random.pick(texts);
  server.send(open(PROBE, index, `${text}\n# ${index}\n`));
  const id = `probe-${index}`;
  const { position } = placed(random.below(60), 4);
  const params = { textDocument: { uri: PROBE }, position, range: { start: position, end: position } };
  const method = random.pick(COSTLY);
  server.send({ id, method: `textDocument/${method}`, params: { ...params, context: { diagnostics: [] } } });
  await pause(random.below(10));
  const from = processorTimeOf(server.pid);
  const isEarly = server.answers.has(id);
  server.send({ method: '$/cancelRequest', params: { id } });
  await server.answersTo([id]);
  return isEarly ? undefined : { ms: processorTimeOf(server.pid) - from, what: `${method} of ${name}` };
}

/** What the server logged of its own faults, or answered with: once each, by the place in the code or the words. */
function faultsOf(server: RawServer): string[] {
  const logged = server.logged.filter((line) => line.includes('internal error'));
  // Parameters that JSON-RPC knows no such kind of are the library's to answer.
  const answered = [...server.answers].flatMap(([id, { error }]) =>
    error?.code === INTERNAL_ERROR && !String(id).startsWith('unknown-') ? [`answered: ${error.message}`] : [],
  );
  // Numbers are the ids of wild bodies, which are sent many times.
  const twice = server.twice.filter((id) => typeof id === 'string');
  return [
    ...new Map(logged.map((line) => [line.slice(line.indexOf('\n')), line])).values(),
    ...new Set(answered),
    ...(twice.length === 0 ? [] : [`answered twice: ${twice.slice(0, 20).join(', ')}`]),
  ];
}

/** Rejects when nothing is answered for long although something was asked. */
async function silence(server: RawServer, signal: AbortSignal): Promise<never> {
  for (;;) {
    const before = server.answers.size;
    await pause(PATIENCE_MS, undefined, { signal });
    if (server.answers.size === before) throw new Error(`no answer after number ${before}`);
  }
}

/** ms that the main thread of a process has computed; Linux tells it, elsewhere there is none to be had. */
function processorTimeOf(pid: number): number {
  return Number(read(pid, 'schedstat').split(' ')[0]) / 1e6;
}

const memoryOf = (pid: number) => Math.round(Number(/VmRSS:\s+(\d+)/.exec(read(pid, 'status'))?.[1]) / 1024);

function read(pid: number, name: string): string {
  try {
    return readFileSync(`/proc/${pid}/${name}`, 'utf8');
  } catch {
    return '';
  }
}
