import { afterEach, expect, it } from 'vitest';
import type { ClientCapabilities, CodeAction } from 'vscode-languageserver';
import { LanguageClient, MODERN } from '../support/language-client.ts';

/** What is offered where a `use` line leads to no file: the paths that it may mean, and the file itself. */

const CREATES: ClientCapabilities = {
  ...MODERN,
  workspace: { ...MODERN.workspace, workspaceEdit: { documentChanges: true, resourceOperations: ['create'] } },
};

let client: LanguageClient;
afterEach(() => client.close());

async function offered(text: string, files: readonly string[], capabilities = CREATES): Promise<CodeAction[]> {
  client = await LanguageClient.inMemory({ capabilities, files: new Map(files.map((path) => [path, 'place shed\n'])) });
  await client.open('plan.festoon', text);
  const at = client.at('plan.festoon', '"', 'behind');
  return client.ask('textDocument/codeAction', 'plan.festoon', {
    range: { start: at, end: at },
    context: { diagnostics: [], only: ['quickfix'] },
  });
}

const titles = (actions: readonly CodeAction[]) =>
  actions.map(({ title, isPreferred }) => [title, isPreferred ?? false]);

it('is a path that is nearly the same, and afterwards nothing is missing', async () => {
  const actions = await offered('use "stokc.festoon"\n', ['stock.festoon', 'yard.festoon']);
  expect(titles(actions)).toEqual([
    ['Use "stock.festoon"', true],
    ['Create "stokc.festoon", an empty file', false],
  ]);
  await client.apply(actions[0]?.edit ?? {});
  expect(client.textOf('plan.festoon')).toBe('use "stock.festoon"\n');
  expect(await client.pull('plan.festoon')).toEqual([]);
});

it.each([
  ['without what all plan files end with', 'use "stock"\n', []],
  ['in a text that is not closed', 'use "stokc.festoon', [['Create "stokc.festoon", an empty file', false]]],
])('is the path that is meant %s', async (_, text, others) => {
  const actions = await offered(text, ['stock.festoon', 'yard.festoon']);
  const uses = actions.filter(({ title }) => !title.startsWith('Close'));
  expect(titles(uses)).toEqual([['Use "stock.festoon"', true], ...others]);
  await client.apply(uses[0]?.edit ?? {});
  expect(client.textOf('plan.festoon').trimEnd()).toBe('use "stock.festoon"');
});

it('is a file of that name in another folder; of several a person chooses', async () => {
  expect(
    titles(await offered('use "stock.festoon"\n', ['b/stock.festoon', 'a/stock.festoon', 'c/yard.festoon'])),
  ).toEqual([
    ['Use "a/stock.festoon"', false],
    ['Use "b/stock.festoon"', false],
    ['Create "stock.festoon", an empty file', false],
  ]);
});

it('is no file that has nothing in common but what all plan files end with', async () => {
  expect(titles(await offered('use "b.festoon"\n', ['stock.festoon']))).toEqual([
    ['Create "b.festoon", an empty file', false],
  ]);
});

it('makes the file where it is missing', async () => {
  const [create] = await offered('use "house/roof 1.festoon"\n', []);
  expect(create?.edit).toEqual({
    documentChanges: [
      { kind: 'create', uri: 'file:///display/house/roof%201.festoon', options: { ignoreIfExists: true } },
    ],
  });
});

it('makes no file that is no plan, none outside the folder, and none for a client that cannot', async () => {
  expect(await offered('use "notes.txt"\n', [])).toEqual([]);
  await client.close();
  expect(await offered('use "../stock.festoon"\n', ['stock.festoon'])).toEqual([]);
  await client.close();
  expect(await offered('use "stock.festoon"\n', [], MODERN)).toEqual([]);
});
