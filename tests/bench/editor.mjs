/**
 * `node tests/bench/editor.mjs [--write] [--quick]`: measures the built language server beside a general JSON language
 * server, driven by the same client with documents of as many lines, in the same run. It asserts nothing. The JSON server
 * is installed with npm into .cache/bench-tools when it is not there; without it Festoon is measured alone.
 * With --write, the results replace RESULTS-EDITOR.md beside this file; with --quick, a fifth of the requests is made.
 */
import { spawnSync } from 'node:child_process';
import { existsSync, mkdirSync, writeFileSync } from 'node:fs';
import { cpus } from 'node:os';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { display, json } from './editor-documents.mjs';
import { open } from './editor-session.mjs';

const here = fileURLToPath(new URL('.', import.meta.url));
const root = join(here, '..', '..');
const tools = join(root, '.cache', 'bench-tools');
const peerVersion = '4.10.0';
const peerEntry = join(tools, 'node_modules', 'vscode-langservers-extracted', 'bin', 'vscode-json-language-server');

const share = process.argv.includes('--quick') ? 0.2 : 1;
const sizes = [500, 5000, 20_000];
// Enough of each that a pause of the garbage collector or of the machine does not make the 95th percentile by itself.
const keystrokes = { 500: 600 * share, 5000: 300 * share, 20000: 160 * share };
const requests = { 500: 300 * share, 5000: 160 * share, 20000: 80 * share };
const warmUp = 40;
const starts = Math.ceil(9 * share);
/** Each start compiles other code at other times: the small documents, where that counts, are opened several times. */
const openings = { 500: share < 1 ? 1 : 5, 5000: 1, 20000: 1 };
/** ms between opening a document and the first keystroke. */
const look = 4000;

function installPeer() {
  if (existsSync(peerEntry)) return true;
  mkdirSync(tools, { recursive: true });
  writeFileSync(join(tools, 'package.json'), '{ "name": "festoon-bench-tools", "private": true }\n');
  const args = [
    'install',
    '--ignore-scripts',
    '--no-audit',
    '--no-fund',
    `vscode-langservers-extracted@${peerVersion}`,
  ];
  spawnSync('npm', args, { cwd: tools, stdio: 'inherit' });
  return existsSync(peerEntry);
}

/** The place right behind a text of a document. */
function behind(text, before) {
  const at = text.indexOf(before);
  if (at < 0) throw new Error(`"${before}" does not stand in the document`);
  const lines = text.slice(0, at + before.length).split('\n');
  return { line: lines.length - 1, character: lines.at(-1).length };
}

/** Types one digit into a document and takes it back: each step is one edit. */
function typist({ session, document }) {
  let place;
  return (n) => {
    if (n % 2 === 0) place = behind(document.text, document.typed(n >> 1));
    const end = { ...place, character: place.character + (n % 2) };
    return session.edit({ start: place, end }, n % 2 === 0 ? String(1 + ((n >> 1) % 9)) : '');
  };
}

/**
 * Times of a request right after an edit, ms, and the processor time of each server for one of them. The servers take
 * turns, and each is the first as often as the other, so that whatever else the machine does falls on both alike. After
 * the request the findings are asked for as well, untimed, so that the next edit finds the server at rest.
 */
async function times(parties, count, method, positionOf) {
  const found = [];
  for (const party of parties) {
    const position =
      positionOf === undefined ? {} : { position: behind(party.document.text, positionOf(party.document)) };
    found.push({ party, type: typist(party), position, list: [], processor: 0 });
  }
  for (let n = 0; n < 2 * Math.ceil((count + warmUp) / 2); n++) {
    // An edit and its taking back are made in the same order.
    for (const each of n % 4 < 2 ? found : found.toReversed()) {
      const { session } = each.party;
      if (n === warmUp) each.processor = session.cost().processor;
      const from = performance.now();
      await each.type(n);
      await session.ask(method, each.position);
      if (n >= warmUp) each.list.push(performance.now() - from);
      if (method !== FINDINGS) await session.ask(FINDINGS);
    }
  }
  return found.map(({ party, list, processor }) => ({
    sorted: list.sort((x, y) => x - y),
    processor: (party.session.cost().processor - processor) / list.length,
  }));
}

const FINDINGS = 'textDocument/diagnostic';

const quantile = (sorted, part) => sorted[Math.min(sorted.length - 1, Math.floor(sorted.length * part))];

/** What is asked, by the name of its column, and where. */
const ASKED = {
  key: [FINDINGS],
  hover: ['textDocument/hover', (document) => document.hover],
  completion: ['textDocument/completion', (document) => document.complete],
  symbols: ['textDocument/documentSymbol'],
};

/** All servers side by side with documents of as many lines, from their start to their end. */
async function measure(lines, servers) {
  const parties = [];
  for (const { entry, make } of servers) {
    const document = make(lines);
    const session = await open(entry, document);
    parties.push({ document, session, opened: session.cost().processor });
  }
  await new Promise((resolve) => {
    setTimeout(resolve, look);
  });
  const found = {};
  for (const [name, [method, positionOf]] of Object.entries(ASKED)) {
    const count = name === 'key' ? keystrokes[lines] : requests[lines];
    found[name] = await times(parties, count, method, positionOf);
  }
  const cost = parties.map(({ session, opened }) => ({ ...session.cost(), started: session.started, opened }));
  for (const { session } of parties) await session.close();
  return { found, cost };
}

/** The same from several starts. */
function pooled(rounds, name, index) {
  const lists = rounds.map(({ found }) => found[name][index]);
  return {
    sorted: lists.flatMap(({ sorted }) => sorted).sort((x, y) => x - y),
    processor: lists.reduce((sum, { processor }) => sum + processor, 0) / lists.length,
  };
}

/** One row for each server. */
async function rowsOf(lines, servers) {
  const rounds = [];
  for (let round = 0; round < openings[lines]; round++) rounds.push(await measure(lines, servers));
  const spread = ({ sorted }) => [0.5, 0.95].map((part) => ms(quantile(sorted, part))).join(' / ');
  const rows = servers.map(({ name }, index) => {
    const [key, hover, completion, symbols] = Object.keys(ASKED).map((asked) => pooled(rounds, asked, index));
    const most = (what) => Math.max(...rounds.map(({ cost }) => cost[index][what]));
    return [
      lines.toLocaleString('en'),
      name,
      spread(key),
      ms(key.processor),
      spread(hover),
      ms(hover.processor),
      spread(completion),
      ms(completion.processor),
      spread(symbols),
      `${ms(most('started'))} (${ms(most('opened'))})`,
      `${most('resident').toFixed(0)} / ${most('most').toFixed(0)}`,
    ];
  });
  const shares = ['key', 'hover', 'completion'].map((asked) => {
    const [ours, theirs] = [pooled(rounds, asked, 0), pooled(rounds, asked, servers.length - 1)];
    return {
      ratio: quantile(ours.sorted, 0.95) / quantile(theirs.sorted, 0.95),
      processor: ours.processor / theirs.processor,
    };
  });
  return { rows, shares };
}

async function startTimes(servers) {
  const found = servers.map(() => []);
  for (let n = 0; n < starts; n++) {
    for (const [index, { entry, make }] of servers.entries()) {
      const session = await open(entry, make(sizes[0]));
      found[index].push({ started: session.started, processor: session.cost().processor });
      await session.close();
    }
  }
  return found.map((list) => list.sort((x, y) => x.started - y.started));
}

const ms = (value) => (value >= 100 ? value.toFixed(0) : value.toFixed(1));

const servers = [{ name: 'Festoon', entry: join(root, 'dist', 'server.cjs'), make: display }];
if (installPeer()) servers.push({ name: 'JSON server', entry: peerEntry, make: json });
const measured = [];
for (const lines of sizes) measured.push({ lines, ...(await rowsOf(lines, servers)) });
const small = await startTimes(servers);

const ratios = measured.map(({ lines, shares }) => {
  const texts = shares.map(({ ratio, processor }) => `${ratio.toFixed(2)} (${processor.toFixed(2)})`);
  return `| ${[lines.toLocaleString('en'), ...texts].join(' | ')} |`;
});
const beside =
  servers.length < 2
    ? 'There was no JSON server to compare with.'
    : `Festoon's 95th percentile as a share of the JSON server's, in brackets that of the processor time:

| lines | key | hover | completion |
|---|---|---|---|
${ratios.join('\n')}`;
const startTexts = small.map((found, index) => {
  const { started, processor } = quantile(found, 0.5);
  return `${servers[index].name} ${ms(started)} ms (processor ${ms(processor)} ms, most ${ms(found.at(-1).started)} ms)`;
});

const page = `# The language server beside a general one

Written by \`node tests/bench/editor.mjs --write\` on Node ${process.versions.node}, ${cpus().length} cores of ${cpus()[0]?.model.trim()}. Quote ratios, not times.

The peer is the JSON language server of the package vscode-langservers-extracted ${peerVersion}: it parses the text and
holds it to a schema. Festoon reads as many lines of a display (in the largest, ${display(20_000).pixels.toLocaleString('en')} pixels, no two groups of
them the same circuit) and solves its electric network. One client drives both with the same messages. A keystroke puts
one digit into a length, the next one takes it out, and then it is the turn of another group; "key" runs from the
keystroke until the findings of the whole document have come back. Hover, completion and symbols are asked for right
after a keystroke, which is in their time; then the findings are fetched, which is not. The servers are asked in turn, and
each is the first as often as the other, so that what else the machine does falls on both alike. The first ${warmUp} requests
of each kind are not counted, for either. The smallest documents are opened ${openings[500]} times, and all answers taken together. Between opening and the first keystroke ${look / 1000} seconds pass, as a person looks before typing;
Festoon has its own code compiled in them, two to three seconds of work (\`server/src/lsp/rehearsal.ts\`), where the plan is not large. Each server is started by its program as it is shipped, with no flags of Node.

What is asked is not the same work. The JSON server's hover is one line out of the schema, Festoon's a card of what is
computed for a run, with a drawing of its voltage. Festoon says "key" when all is solved and checked.

Times are milliseconds, as median / 95th percentile. "Processor" is what all threads of the server's process take for what
stands before it (for hover and completion with the findings that follow), also where others wait for the machine. "Open" runs from the start of the process to the first findings, in brackets
its processor time. Memory is what is resident at the end / at most, in megabytes.

| lines | server | key | processor | hover | processor | completion | processor | symbols | open | memory |
|---|---|---|---|---|---|---|---|---|---|---|
${measured.flatMap(({ rows }) => rows.map((cells) => `| ${cells.join(' | ')} |`)).join('\n')}

${beside}

From the start of the process to the first findings, ${sizes[0]} lines, median of ${starts} starts:
${startTexts.join(', ')}.
`;
console.log(page);
if (process.argv.includes('--write')) writeFileSync(join(here, 'RESULTS-EDITOR.md'), page);
