import { spawnSync } from 'node:child_process';
import { readFileSync } from 'node:fs';
import { expect, test } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { highlightsQuery } from '#grammar/highlights.ts';
import { referencePage } from '#grammar/reference.ts';
import { textmateGrammar } from '#grammar/textmate.ts';
import { STATEMENTS, TOP_KEYWORDS } from '#grammar/vocabulary.ts';
import type { Entry } from '#grammar/words/entry.ts';
import { lineOfCode } from '#server/checks/checks-page.ts';
import { CHECKS } from '#server/checks/registry.ts';

test('the reference and the syntax colours are made from the vocabulary as it stands', () => {
  const done = spawnSync(process.execPath, ['grammar/generate.mjs', '--check'], { encoding: 'utf8' });
  expect(done.stdout + done.stderr).toBe('');
  expect(done.status).toBe(0);
});

test('they say of themselves what the files hold', () => {
  expect(readFileSync('grammar/REFERENCE.md', 'utf8')).toBe(referencePage());
  expect(JSON.parse(readFileSync('grammar/textmate/festoon.tmLanguage.json', 'utf8'))).toEqual(textmateGrammar());
  expect(readFileSync('grammar/tree-sitter/queries/highlights.scm', 'utf8')).toBe(highlightsQuery());
});

test('the reference shows every statement with its example, and every line of its block', () => {
  const page = referencePage();
  for (const entry of STATEMENTS as readonly Entry[]) {
    expect(page).toContain(entry.example);
    for (const line of entry.block ?? []) expect(page).toContain(line.word);
  }
});

test('the page of codes explains every code, and findings lead to its line', () => {
  const lines = readFileSync('grammar/CHECKS.md', 'utf8').split('\n');
  expect(CHECKS.length).toBeGreaterThan(40);
  for (const { code, title } of CHECKS) {
    expect(lines[lineOfCode(code) - 1]).toBe(`## ${code}`);
    expect(lines[lineOfCode(code) + 1]).toContain(title);
  }
});

test('every example in the vocabulary is written in the one style', () => {
  for (const entry of STATEMENTS) expect(formatText(entry.example)).toBe(`${entry.example}\n`);
});

test('no line inside a block starts with a word that opens a declaration', () => {
  // Such a word at the start of a line closes the block that is open.
  for (const entry of STATEMENTS as readonly Entry[]) {
    for (const line of entry.block ?? []) expect(TOP_KEYWORDS.has(line.word), line.word).toBe(false);
  }
});
