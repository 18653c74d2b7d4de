import { afterEach, expect, it } from 'vitest';
import { LanguageClient } from '../support/language-client.ts';
import { festoon, SMALL } from '../unit/cli/console.ts';

let client: LanguageClient;
afterEach(() => client.close());

it('festoon/report gives the files that the command line writes, and writes none', async () => {
  client = await LanguageClient.inMemory();
  await client.open('plan.festoon', SMALL);
  const { files, isFound } = await client.ask<{
    files: readonly { readonly name: string; readonly text: string }[];
    isFound: boolean;
  }>('festoon/report', 'plan.festoon');
  const written = festoon(['report', 'plan.festoon', '--out', 'papers'], {
    files: { '/plans/plan.festoon': SMALL },
  }).files;
  expect(isFound).toBe(false);
  expect(files.length).toBeGreaterThan(10);
  expect(new Map(files.map(({ name, text }) => [`/plans/papers/${name}`, text]))).toEqual(
    new Map([...written].filter(([path]) => path.startsWith('/plans/papers/'))),
  );
  for (const { name } of files) expect(name).toMatch(/^[\w-]+\.(?:html|svg|csv)$/);
});
