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
 * What is found must match the marks one to one. Behind the code may stand how far beyond its limit a value is:
 * `low-voltage by 7.6 %`, or `by 1` where no share of it is taken. See checkBeside for the other places that a finding points to.
 *
 * A line `#-- name.festoon` starts another file of the same display; `bench.festoon` is there for every plan.
 */
export function checkPlan(text: string): Analysis {
  const { analysis, host } = analysePlan(text);
  const marks = marksOf(text);
  expectSame(
    marks.filter(({ isBeside }) => !isBeside),
    analysis.findings.map((finding) => observed(host, finding)),
  );
  checkBeside(marks, analysis.findings, host);
  return analysis;
}

/**
 * `beside low-voltage: psu.2` marks another place that takes part in a finding, and what is said there. A plan that marks
 * one such place for a code marks all of them for that code.
 */
function checkBeside(marks: readonly Mark[], findings: readonly Finding[], host: Host): void {
  const beside = marks.filter(({ isBeside }) => isBeside);
  const codes = new Set(beside.map(({ code }) => code));
  const related = findings
    .filter(({ code }) => codes.has(code))
    .flatMap((finding) => finding.related.map((place) => observed(host, { ...finding, ...place })));
  expectSame(beside, related);
}

/** Each mark has what it says, and nothing is without a mark. */
function expectSame(marks: readonly Mark[], found: readonly Observed[]): void {
  const unmatched = [...found];
  const missing: string[] = [];
  const wrong: string[] = [];
  for (const mark of marks) {
    const alike = unmatched.filter((finding) => same(mark, finding));
    // Of several at one place the one that says it.
    const finding = alike.find((each) => faultsOf(mark, each).length === 0) ?? alike[0];
    if (finding === undefined) {
      missing.push(`${placeOf(mark)} ${mark.code} on "${mark.word}"`);
      continue;
    }
    unmatched.splice(unmatched.indexOf(finding), 1);
    wrong.push(...faultsOf(mark, finding).map((fault) => `${placeOf(mark)} ${mark.code} ${fault}`));
  }
  const unmarked = unmatched.map((it) => `${placeOf(it)} ${it.code} on "${it.word}": ${it.message}`);
  expect({ missing, wrong, unmarked }).toEqual({ missing: [], wrong: [], unmarked: [] });
}

function faultsOf(mark: Mark, { message, level, excess = 0 }: Observed): string[] {
  const faults: string[] = [];
  const unsaid = mark.says.filter((words) => !says(message, words));
  if (unsaid.length > 0) faults.push(`does not say ${unsaid.join(', ')}: ${message}`);
  if (mark.level !== undefined && mark.level !== level) faults.push(`is ${level}`);
  if (mark.by !== undefined) {
    const [, digits = '', percent = ''] = /^\d+(?:\.(\d+))?( %)?$/.exec(mark.by) ?? [];
    const by = (percent === '' ? excess : excess * 100).toFixed(digits.length) + percent;
    if (by !== mark.by) faults.push(`is ${by} beyond its limit, not ${mark.by}`);
  }
  return faults;
}

/** The codes that a plan is marked with; those of which it says by how much, and what stands beside. */
export function markedCodes(text: string): { all: Set<string>; by: Set<string>; beside: Set<string> } {
  const marks = marksOf(text);
  const codes = (list: readonly Mark[]) => new Set(list.map(({ code }) => code));
  return {
    all: codes(marks.filter(({ isBeside }) => !isBeside)),
    by: codes(marks.filter(({ by }) => by !== undefined)),
    beside: codes(marks.filter(({ isBeside }) => isBeside)),
  };
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
  /** How far beyond the limit, as a share or in the limit's own unit, with as many digits as are meant. */
  readonly by: string | undefined;
  readonly isBeside: boolean;
}

type Observed = Pick<Mark, 'file' | 'line' | 'column' | 'word' | 'code'> &
  Pick<Finding, 'message' | 'excess'> & { readonly level: string };

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
    ...(finding.excess === undefined ? {} : { excess: finding.excess }),
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

const MARK =
  /^(\s*#!)(\s*)(\^+|`[^`]+`)\s+(?:(error|warning|information|beside)\s+)?([a-z-]+)(?: by ([\d.]+(?: %)?))?(?::\s*(.*))?$/;

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
      const [, lead = '', blank = '', place = '', level, code = '', by, says] = parts;
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
        level: level === 'beside' ? undefined : level,
        by,
        isBeside: level === 'beside',
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
