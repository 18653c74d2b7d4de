import { afterEach, expect, it } from 'vitest';
import { FOLDER, LanguageClient } from '../support/language-client.ts';
import { SMALL } from '../unit/cli/console.ts';

const PLAN = 'plan.festoon';
let client: LanguageClient;
afterEach(() => client.close());

interface Answer {
  readonly plan: string;
  readonly unread: number;
  readonly tests: readonly {
    readonly kind: string;
    readonly text: string;
    readonly passed: boolean;
    readonly message?: string;
    readonly computed?: string;
    readonly uri: string;
    readonly range: { readonly start: { readonly line: number } };
  }[];
}

const lineOf = (text: string, start: string) => text.split('\n').findIndex((line) => line.startsWith(start));

it('festoon/tests gives every expectation of the plan with its outcome and its line, wherever it stands', async () => {
  // 10 px x 60 mA is 600 mA; 11.87 V at the first pixel (worked out in papers.test.ts).
  const more = 'expect feed porch-feed at most 500 mA\nexpect porch-edge.start at least 11.5 V\nexpect porch-edge at\n';
  const plan = `use "more.festoon"\n${SMALL}\nmeasured porch-edge.start  11.2 V\n`;
  client = await LanguageClient.inMemory();
  await client.open('more.festoon', more);
  await client.open(PLAN, plan);
  // Asked for the file that the plan uses, the plan answers.
  const { tests, unread, plan: main } = await client.ask<Answer>('festoon/tests', 'more.festoon');
  expect([main, unread]).toEqual([FOLDER + PLAN, 1]);
  expect(tests.map(({ kind, text, passed, computed }) => [kind, text, passed, computed])).toEqual([
    ['expect', 'feed porch-feed at most 500 mA', false, '600 mA'],
    ['expect', 'porch-edge.start at least 11.5 V', true, '11.87 V'],
    ['measured', 'porch-edge.start 11.20 V', false, '11.87 V'],
  ]);
  expect(tests.map(({ uri, range }) => [uri.slice(FOLDER.length), range.start.line])).toEqual([
    ['more.festoon', 0],
    ['more.festoon', 1],
    [PLAN, lineOf(plan, 'measured ')],
  ]);
  expect(tests[0]?.message).toContain('600 mA');
});

it('festoon/tests gives none for a plan that expects nothing', async () => {
  client = await LanguageClient.inMemory();
  await client.open(PLAN, 'place shed\n');
  expect(await client.ask<Answer>('festoon/tests', PLAN)).toEqual({ plan: FOLDER + PLAN, tests: [], unread: 0 });
});
