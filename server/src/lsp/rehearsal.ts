import { PassThrough } from 'node:stream';
import {
  type ClientCapabilities,
  type Connection,
  createConnection,
  createProtocolConnection,
  ProposedFeatures,
  type ProtocolConnection,
  StreamMessageReader,
  StreamMessageWriter,
} from 'vscode-languageserver/node';
import { sure } from '#grammar/sure.ts';
import { PART_CABLE, PART_CONTROLLER, PART_PIXEL, PART_SUPPLY } from '#grammar/words/parts.ts';
import { type Runtime, startServer } from './server.ts';
import { WholeMessageWriter } from './whole-message-writer.ts';

/**
 * V8 compiles what has run often: a server that has answered some hundred times answers in two thirds of the time. So while
 * nobody asks anything, a plan of ours is typed into, as a person would. It is done in turns on two stages: what is compiled
 * for one server alone would be thrown away as soon as another one runs, which is the one that the person asks. Nobody sees
 * it, and nothing stays of it but the compiled code. It is two to three seconds of work, once, in steps of a few
 * milliseconds.
 */
export class Rehearsal {
  private readonly stages: readonly Stage[];
  private turn = 0;

  constructor(runtime: Runtime) {
    this.stages = [new Stage(runtime), new Stage(runtime)];
  }

  /** Types and asks once; false when that has been done often enough. */
  async step(): Promise<boolean> {
    const round = Math.floor(this.turn / (2 * GROUPS));
    await this.type(sure(this.stages[round % this.stages.length]), this.turn++);
    return this.turn < TURNS;
  }

  end(): void {
    for (const stage of this.stages) stage.end();
  }

  /** Gives what was answered. */
  protected type(stage: Stage, turn: number): Promise<readonly unknown[]> {
    return stage.type(turn);
  }
}

/** A client beside a server of its own, both in this process, with streams in memory between them. */
class Stage {
  private readonly server: Connection;
  private readonly client: ProtocolConnection;
  private version = 0;

  constructor(runtime: Runtime) {
    const [up, down] = [new PassThrough(), new PassThrough()];
    // Readers and writers, not streams: the library ends the program with a stream that it was given.
    this.server = createConnection(ProposedFeatures.all, new StreamMessageReader(up), new WholeMessageWriter(down));
    startServer(this.server, undefined, undefined, runtime);
    this.client = createProtocolConnection(new StreamMessageReader(down), new StreamMessageWriter(up));
    this.client.listen();
  }

  end(): void {
    this.client.dispose();
    this.server.dispose();
  }

  /**
   * Gives the feed of a group a length that no feed has had, or takes that back, and asks what an editor asks then; gives
   * the answers.
   */
  async type(turn: number): Promise<readonly unknown[]> {
    if (this.version === 0) await this.open();
    const isNew = turn % 2 === 0;
    const group = (turn >> 1) % GROUPS;
    // What is asked of is now the run that the edit has changed, now another one.
    const asked = isNew ? group : (group + 1) % GROUPS;
    const [run, feed] = [lineOf(`run run-${asked} `), lineOf(`feed feed-${group} `)];
    const range = { start: { line: feed, character: LENGTH.start }, end: { line: feed, character: LENGTH.end } };
    const textDocument = { uri: ADDRESS, version: ++this.version };
    // An editor does not wait between an edit and what it asks of it.
    const typed = this.client.sendNotification('textDocument/didChange', {
      textDocument,
      contentChanges: [{ range, text: lengthOf(isNew ? turn + 1 : 0) }],
    });
    const shown =
      (turn >> 1) % 2 === 0
        ? this.ask('hover', { position: { line: run, character: 5 } })
        : this.ask('completion', { position: { line: feed, character: LENGTH.end + ' m of '.length } });
    await typed;
    return [await shown, await this.ask('diagnostic')];
  }

  private async open(): Promise<void> {
    await this.client.sendRequest('initialize', { processId: null, rootUri: null, capabilities: CAPABILITIES });
    await this.client.sendNotification('initialized', {});
    const textDocument = { uri: ADDRESS, languageId: 'festoon', version: this.version++, text: REHEARSED };
    await this.client.sendNotification('textDocument/didOpen', { textDocument });
    await this.ask('diagnostic');
  }

  private ask(what: string, params: object = {}): Promise<unknown> {
    return this.client.sendRequest(`textDocument/${what}`, { textDocument: { uri: ADDRESS }, ...params });
  }
}

/** Enough that hardly anything is compiled later. */
const TURNS = 800;
const GROUPS = 8;
const ADDRESS = 'rehearsal:/plan.festoon';

const CAPABILITIES: ClientCapabilities = {
  textDocument: {
    diagnostic: {},
    hover: { contentFormat: ['markdown'] },
    completion: { completionItem: { snippetSupport: true, documentationFormat: ['markdown'] } },
    publishDiagnostics: { relatedInformation: true },
  },
};

/** All of one width, so that the next one replaces it in its place. */
const lengthOf = (turn: number): string => (1 + turn / 100).toFixed(2);

const groupText = (n: number): string => `supply psu-${n} of enclosed-12v-350w at shed {
  set 12 V
  outputs 1 to 2 fuse 7.5 A
}
controller box-${n} of sixteen-port at shed from psu-${n}.1
## Run number ${n}.
run run-${n} from box-${n}.1 at roof {
  lead 2 m of lead
  outline front-${n} ${4 + 6 * n} px of bullet-12 every 75 mm
  gap 1 m
  string ${5 + 5 * n} px of bullet-12 every 75 mm
}
feed feed-${n} ${lengthOf(0)} m of two-core-14 from psu-${n}.2 to run-${n}.end
`;

/** What is typed into. Its parts are the examples of the vocabulary. */
export const REHEARSED = `plan "Rehearsal" {
  frame-rate 40 fps
}
place shed
place roof
part cable lead {
  conductor 18 AWG
  carries V+ ground data
  rated 7 A
}
${[PART_PIXEL, PART_CABLE, PART_SUPPLY, PART_CONTROLLER].map(({ example }) => example).join('\n')}
${Array.from({ length: GROUPS }, (_, n) => groupText(n)).join('')}`;

const LINES = REHEARSED.split('\n');
const lineOf = (start: string): number => LINES.findIndex((line) => line.startsWith(start));
const LENGTH = { start: 'feed feed-0 '.length, end: `feed feed-0 ${lengthOf(0)}`.length };

/** ms without a message after which a person is taken to be looking, not typing. */
const QUIET = 500;

/**
 * Rehearses once while nobody asks: gives what is to be called when a plan has been opened or changed. `heard` counts the
 * messages that have come; as soon as another one has, the rehearsal waits until it is quiet again. Where `isReady` does
 * not hold, it waits for the next plan. Nothing is rehearsed before a message has come, nor after the client has said that
 * it needs no more answers.
 */
export function rehearseWhenQuiet(
  onShutdown: (over: () => void) => unknown,
  heard: () => number,
  isReady: () => boolean,
  make: () => Pick<Rehearsal, 'step' | 'end'>,
): () => void {
  let state: 'idle' | 'waiting' | 'done' = 'idle';
  let rehearsal: ReturnType<typeof make> | undefined;
  let isOver = false;
  onShutdown(() => {
    isOver = true;
  });
  const end = () => {
    state = 'done';
    rehearsal?.end();
    // What is called from now on must not keep its server.
    rehearsal = undefined;
  };
  const wait = () => {
    const before = heard();
    state = 'waiting';
    setTimeout(() => void look(before).catch(end), QUIET).unref();
  };
  const look = async (before: number) => {
    if (isOver || heard() === 0 || !isReady()) {
      state = 'idle';
      return;
    }
    while (heard() === before) {
      rehearsal ??= make();
      if (!(await rehearsal.step())) return end();
    }
    wait();
  };
  return () => {
    if (state === 'idle') wait();
  };
}
