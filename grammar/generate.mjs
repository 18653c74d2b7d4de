// Writes the pages that are made from tables: the language reference and the syntax colours from the vocabulary, the
// page of codes from the registry of checks.
// With --check it only says whether they are up to date.
import { createHash } from 'node:crypto';
import { readFileSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';

const entry = `export { referencePage } from './src/reference.ts'; export { textmateGrammar } from './src/textmate.ts';
export { highlightsQuery } from './src/highlights.ts';
export { checksPage } from '#server/checks/checks-page.ts';`;
const bundle = await build({
  stdin: { contents: entry, resolveDir: import.meta.dirname ?? new URL('.', import.meta.url).pathname, loader: 'ts' },
  bundle: true,
  write: false,
  external: ['node:*'],
  format: 'esm',
});
const made = await import(`data:text/javascript;base64,${Buffer.from(bundle.outputFiles[0].text).toString('base64')}`);
const pages = {
  'REFERENCE.md': made.referencePage(),
  'CHECKS.md': made.checksPage(),
  'tree-sitter/queries/highlights.scm': made.highlightsQuery(),
  'textmate/festoon.tmLanguage.json': `${JSON.stringify(made.textmateGrammar(), null, 2)}\n`,
};
let stale = 0;
// The parser itself is made by a generator that is not here (tree-sitter/README.md): its first line is all that is added.
const parser = new URL('tree-sitter/src/parser.c', import.meta.url);
const sum = createHash('sha256')
  .update(readFileSync(new URL('tree-sitter/grammar.js', import.meta.url)))
  .digest('hex');
const head = `/* Made by tree-sitter 0.20.7 from grammar.js (SHA-256 ${sum}): not to be edited. */\n`;
const code = readFileSync(parser, 'utf8');
if (!code.startsWith(head)) {
  stale++;
  const isFresh = code.startsWith('#include');
  if (isFresh && !process.argv.includes('--check')) writeFileSync(parser, head + code);
  else {
    console.log('grammar/tree-sitter/src/parser.c is not up to date: see grammar/tree-sitter/README.md');
    process.exitCode = 1;
  }
}
for (const [name, text] of Object.entries(pages)) {
  const path = new URL(name, import.meta.url);
  const before = (() => {
    try {
      return readFileSync(path, 'utf8');
    } catch {
      return '';
    }
  })();
  if (before === text) continue;
  stale++;
  if (process.argv.includes('--check')) console.log(`grammar/${name} is not up to date: run npm run generate`);
  else writeFileSync(path, text);
}
if (process.argv.includes('--check') && stale > 0) process.exit(1);
