import { readFileSync } from 'node:fs';
import { afterEach, expect, it } from 'vitest';
import type { Hover, Location } from 'vscode-languageserver';
import { DISPLAY } from '../support/display.ts';
import { FOLDER, LanguageClient } from '../support/language-client.ts';

const PLAN = 'plan.festoon';
let client: LanguageClient;
afterEach(() => client.close());

interface Node {
  readonly label: string;
  readonly description: string;
  readonly level?: string;
  readonly place?: Location;
  readonly children: readonly Node[];
}

interface Answer {
  readonly plan: string;
  readonly title?: string;
  readonly nodes: readonly Node[];
}

const bench = readFileSync(new URL('../fixtures/bench.festoon', import.meta.url), 'utf8');
const files = () => new Map([['bench.festoon', bench]]);
const [main = '', roof = ''] = DISPLAY.split(/(?=## The long edge)/);

it('festoon/power answers for every file of a plan, with places in whichever file they stand, and follows edits', async () => {
  client = await LanguageClient.inMemory({ files: files() });
  await client.open('roof.festoon', roof);
  await client.open(PLAN, `use "roof.festoon"\n${main}`);
  const { plan, title, nodes } = await client.ask<Answer>('festoon/power', 'roof.festoon');
  expect([plan, title]).toEqual([FOLDER + PLAN, 'Test quay']);
  expect(nodes.map(({ label, children }) => [label, children.map((node) => node.label)])).toEqual([
    ['Supplies', ['psu']],
    ['Runs', ['eaves']],
  ]);
  // 100 pixels of 60 mA, 10.17 V: reckoned in display.ts.
  const run = nodes[1]?.children[0];
  expect([run?.level, run?.description]).toEqual(['warning', 'low-voltage · 6.00 A, 10.17 V at 100']);
  const start = client.at('roof.festoon', 'eaves');
  expect(run?.place).toEqual({
    uri: `${FOLDER}roof.festoon`,
    range: { start, end: { line: start.line, character: start.character + 'eaves'.length } },
  });
  // What a person sees who points at the row comes from its place.
  const hover = await client.ask<Hover>('textDocument/hover', 'roof.festoon', { position: run?.place?.range.start });
  expect(JSON.stringify(hover.contents)).toContain('10.17 V at pixel 100');
  await client.change('roof.festoon', roof.replace('60 px', '10 px').replace('40 px', '10 px'));
  const after = await client.ask<Answer>('festoon/power', PLAN);
  // 20 pixels of 60 mA.
  expect(after.nodes[1]?.children[0]).toMatchObject({
    label: 'eaves',
    description: expect.stringMatching(/^1\.20 A, 11\.\d\d V at 20$/),
  });
});

it('festoon/power has nothing for a plan without supplies and runs, and none for an earlier version', async () => {
  client = await LanguageClient.inMemory({ files: files(), initializationOptions: { leavesOut: ['git'] } });
  await client.open(PLAN, 'place shed\n');
  expect(await client.ask<Answer>('festoon/power', PLAN)).toMatchObject({ plan: FOLDER + PLAN, nodes: [] });
  await client.open('git:/display/plan.festoon', DISPLAY);
  expect(await client.ask('festoon/power', 'git:/display/plan.festoon')).toBeNull();
});
