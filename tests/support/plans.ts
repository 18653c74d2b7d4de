import { readFileSync } from 'node:fs';
import { expect } from 'vitest';
import { type Analysis, levelOf } from '#server/analysis/analysis.ts';
import { type FileText, Host, offsetsOf } from '#server/analysis/host.ts';
import type { Finding } from '#server/model/finding.ts';

/**
 * Tests as plans. A plan says itself what Festoon should find in it, in marks:
 *
 *     run eaves  from box.1 {
 *       string  100 px  of bullet  every 100 mm
 *     #!^^^^^^ low-voltage: 9.98 V, pixel 100
 *     }
 *
 * A mark belongs to the nearest line above that is no mark. It names the place with carets right below it (or, where
 * that is too far left for them, the text in `backticks`), then the code, and behind a colon whatever the message must
 * say: numbers with their units, names. A level that differs from the code's usual one stands in front: `warning`.
 * What is found must match the marks one to one.
 *
 * A line `#-- name.festoon` starts another file of the same display; `bench.festoon` is there for every plan.
 */
export function checkPlan(text: string): Analysis {
  const { analysis, host } = analysePlan(text);
  const found = analysis.findings.map((finding) => observed(host, finding));
  const unmatched = [...found];
  const missing: string[] = [];
  const wrong: string[] = [];
  for (const mark of marksOf(text)) {
    const index = unmatched.findIndex((finding) => same(mark, finding));
    const [finding] = index < 0 ? [] : unmatched.splice(index, 1);
    if (finding === undefined) {
      missing.push(`${placeOf(mark)} ${mark.code} on "${mark.word}"`);
      continue;
    }
    const unsaid = mark.says.filter((words) => !says(finding.message, words));
    if (unsaid.length > 0)
      wrong.push(`${placeOf(mark)} ${mark.code} does not say ${unsaid.join(', ')}: ${finding.message}`);
    if (mark.level !== undefined && mark.level !== finding.level)
      wrong.push(`${placeOf(mark)} ${mark.code} is ${finding.level}`);
  }
  const unmarked = unmatched.map((it) => `${placeOf(it)} ${it.code} on "${it.word}": ${it.message}`);
  expect({ missing, wrong, unmarked }).toEqual({ missing: [], wrong: [], unmarked: [] });
  return analysis;
}

/** The codes that a plan is marked with. */
export function markedCodes(text: string): Set<string> {
  return new Set(marksOf(text).map((mark) => mark.code));
}

export const MAIN = 'file:///display/plan.festoon';

/** Analyses a plan given as text; see checkPlan for how it may hold several files. Nothing is read from disk. */
export function analysePlan(text: string): { analysis: Analysis; host: Host } {
  const host = hostOf(filesOf(text));
  return { analysis: host.analyse(MAIN), host };
}

/** A host that knows some files by name in one folder, and the bench. */
export function hostOf(files: ReadonlyMap<string, string>): Host {
  const read = (uri: string): FileText => {
    const name = decodeURIComponent(uri.slice(FOLDER.length));
    const found = files.get(name) ?? (name === 'bench.festoon' ? BENCH : undefined);
    return found === undefined ? { missing: true } : { text: found };
  };
  return new Host(read, FOLDER);
}

const FOLDER = 'file:///display/';
const BENCH = readFileSync(new URL('../fixtures/bench.festoon', import.meta.url), 'utf8');

interface Mark {
  readonly file: string;
  /** Counted from 1 in its own file. */
  readonly line: number;
  /** Counted from 0 in UTF-16 code units. */
  readonly column: number;
  readonly word: string;
  readonly code: string;
  readonly says: readonly string[];
  readonly level: string | undefined;
}

type Observed = Omit<Mark, 'says' | 'level'> & { readonly message: string; readonly level: string };

function observed(host: Host, finding: Finding): Observed {
  const file = host.fileOf(finding.origin.uri);
  const at = file === undefined ? undefined : offsetsOf(file, finding.origin);
  if (file === undefined || at === undefined) throw new Error(`${finding.code} points to a place that is not there`);
  const before = file.text.slice(0, at.start).split(/\r\n|\n|\r/);
  return {
    file: decodeURIComponent(file.uri.slice(FOLDER.length)),
    line: before.length,
    column: before.at(-1)?.length ?? 0,
    word: file.text.slice(at.start, at.end),
    code: finding.code,
    message: finding.message,
    level: levelOf(finding),
  };
}

function same(mark: Mark, found: Observed): boolean {
  return (
    mark.code === found.code &&
    mark.file === found.file &&
    mark.line === found.line &&
    mark.column === found.column &&
    mark.word === found.word
  );
}

/** Numbers are meant whole: "1.5 A" is not said by "11.5 A". */
function says(message: string, words: string): boolean {
  const literal = words.replace(/[.*+?^${}()|[\]\\]/g, '\\$&');
  return new RegExp(`(?<![\\w.,])${literal}(?![\\w]|[.,]\\d)`).test(message);
}

const placeOf = (at: { file: string; line: number; column: number }) => `${at.file}:${at.line}:${at.column + 1}`;

const MARK = /^(\s*#!)(\s*)(\^+|`[^`]+`)\s+(?:(error|warning|information)\s+)?([a-z-]+)(?::\s*(.*))?$/;

function marksOf(text: string): Mark[] {
  const marks: Mark[] = [];
  for (const [file, content] of filesOf(text)) {
    const lines = content.split(/\r\n|\n|\r/);
    let above = 0;
    for (const [index, line] of lines.entries()) {
      if (!/^\s*#!/.test(line)) {
        above = index;
        continue;
      }
      const parts = MARK.exec(line);
      if (parts === null) throw new Error(`This mark cannot be read: ${line}`);
      const [, lead = '', blank = '', place = '', level, code = '', says] = parts;
      const target = lines[above] ?? '';
      const column = place.startsWith('^') ? lead.length + blank.length : target.indexOf(place.slice(1, -1));
      const word = place.startsWith('^') ? target.slice(column, column + place.length) : place.slice(1, -1);
      if (column < 0) throw new Error(`${place} does not stand in: ${target}`);
      marks.push({
        file,
        line: above + 1,
        column,
        word,
        code,
        says: says === undefined ? [] : says.split(', ').map((part) => part.trim()),
        level,
      });
    }
  }
  return marks;
}

/** The files of a plan by name; the first is plan.festoon. A size pads a file with comments: `#-- big.festoon 3000000`. */
function filesOf(text: string): Map<string, string> {
  const files = new Map<string, string>();
  const [main = '', ...rest] = text.split(/^(?=#-- )/m);
  files.set('plan.festoon', main);
  for (const part of rest) {
    const [, name = '', size] = /^#-- (\S+)(?: (\d+))?/.exec(part) ?? [];
    files.set(name, size === undefined ? part : part.padEnd(Number(size), `# ${'padding '.repeat(12)}\n`));
  }
  return files;
}
