import { describe, expect, it } from 'vitest';
import type { Declaration, SourceFile } from '#grammar/source.ts';
import { LEXER } from '#grammar/tokens.ts';
import type { Analysis } from '#server/analysis/analysis.ts';
import type { Host } from '#server/analysis/host.ts';
import { type BoundStatement, bindDeclaration } from '#server/model/declarations.ts';
import type { Origin } from '#server/model/finding.ts';
import type { Feed, Place, Run, Supply } from '#server/model/plan.ts';
import { seededRandom } from '../../support/random-circuit.ts';
import { type Display, hostOfDisplay, sampleDisplays } from '../../support/samples.ts';

/**
 * A broken line hurts only itself. Every single line and a large sample of single tokens are deleted from all sample
 * displays, one at a time, and then:
 *
 * - nothing throws;
 * - every declaration that the deleted text is no part of keeps its place in the outline: keyword and name, and those
 *   of the lines in its block. (A deleted line break is part of the declarations on both sides of it.)
 * - every run, feed and supply that does not depend on a damaged declaration keeps the very same computed values.
 *
 * A thing depends on a declaration when one of these holds:
 *
 * - it is that declaration, or it uses a name that the declaration gives, or a thing that it uses does (a run its
 *   controller, that its supply, that its part; a run its pixels, those their connector);
 * - the declaration is the plan statement: its air and its look hold for everything;
 * - the declaration is a `use` line, and the thing depends on something of the files that it brings in;
 * - the declaration is a route between two places that a cable of the thing goes along;
 * - it is electrically joined to something that depends on the declaration: they are of one island.
 */

const SEED = 20261125;
/** Tokens deleted of each file at most; lines are all deleted. */
const MOST_TOKENS = 250;
const LEAST_DELETIONS = 2000;

describe('after a deletion', () => {
  let deletions = 0;
  let keptValues = 0;

  it.each(sampleDisplays().map((display) => [display.name, display] as const))(
    'all else in %s stands',
    (_, display) => {
      for (const [uri, text] of display.files) {
        const bench = new Bench(display, uri);
        for (const range of [...linesOf(text), ...someTokensOf(text)]) {
          keptValues += bench.tryWithout(range);
          deletions++;
        }
      }
    },
    300_000,
  );

  it(`was tried ${LEAST_DELETIONS} times or more, with something left to compare`, () => {
    expect(deletions).toBeGreaterThanOrEqual(LEAST_DELETIONS);
    expect(keptValues).toBeGreaterThanOrEqual(LEAST_DELETIONS);
  });
});

interface Range {
  readonly start: number;
  readonly end: number;
}

type Thing = Run | Feed | Supply;

/** One file of a display, whole and with pieces taken out. */
class Bench {
  private readonly host: Host;
  private readonly display: Display;
  private readonly uri: string;
  private readonly text: string;
  private readonly file: SourceFile;
  private readonly before: Analysis;
  private readonly outline: readonly OutlineEntry[];
  private readonly values: ReadonlyMap<string, string>;
  private readonly dependents = new Map<Declaration, ReadonlySet<string>>();
  private readonly dependencies: Dependencies;

  constructor(display: Display, uri: string) {
    this.display = display;
    this.uri = uri;
    this.text = display.files.get(uri) ?? '';
    this.host = hostOfDisplay(display);
    this.before = this.host.analyse(display.main);
    const file = this.host.fileOf(uri);
    if (file === undefined) throw new Error(`no file ${uri}`);
    this.file = file;
    this.outline = outlineOf(file);
    this.values = valuesOf(this.before);
    this.dependencies = new Dependencies(this.before);
  }

  /** How many values were compared. */
  tryWithout(range: Range): number {
    const text = this.text.slice(0, range.start) + this.text.slice(range.end);
    this.host.setFile(this.uri, text);
    const after = this.host.analyse(this.display.main);
    const damaged = this.damagedBy(range);
    this.expectOutline(range, damaged);
    const compared = this.expectValues(range, damaged, after);
    this.host.setFile(this.uri, this.text);
    return compared;
  }

  private damagedBy({ start, end }: Range): Declaration[] {
    const breaksLine = /[\r\n]/.test(this.text.slice(start, end)) && !/(?:^|[\r\n])$/.test(this.text.slice(0, start));
    return this.file.declarations.filter((declaration) => {
      const from = this.file.offsets.get(declaration) ?? 0;
      const to = from + declaration.text.length;
      return from < (breaksLine ? end + 1 : end) && to > start;
    });
  }

  private expectOutline(range: Range, damaged: readonly Declaration[]): void {
    const file = this.host.fileOf(this.uri);
    const now = new Map(file === undefined ? [] : outlineOf(file).map((entry) => [entry.start, entry]));
    for (const entry of this.outline) {
      if (damaged.includes(entry.declaration)) continue;
      const start = entry.start >= range.end ? entry.start - (range.end - range.start) : entry.start;
      if (now.get(start)?.text !== entry.text) {
        expect.fail(`${this.told(range)}: ${entry.text} becomes ${now.get(start)?.text ?? 'nothing'}`);
      }
    }
  }

  private expectValues(range: Range, damaged: readonly Declaration[], after: Analysis): number {
    const touched = new Set(damaged.flatMap((declaration) => [...this.dependentsOf(declaration)]));
    const now = valuesOf(after);
    let compared = 0;
    for (const [thing, value] of this.values) {
      if (touched.has(thing)) continue;
      if (now.get(thing) !== value) expect.fail(`${this.told(range)}: ${thing} was ${value}, is ${now.get(thing)}`);
      compared++;
    }
    return compared;
  }

  private dependentsOf(declaration: Declaration): ReadonlySet<string> {
    let found = this.dependents.get(declaration);
    if (found === undefined) {
      found = this.dependencies.of(declaration);
      this.dependents.set(declaration, found);
    }
    return found;
  }

  private told({ start, end }: Range): string {
    const line = this.text.slice(0, start).split('\n').length;
    return `${this.uri}:${line} without ${JSON.stringify(this.text.slice(start, end))}`;
  }
}

interface OutlineEntry {
  readonly declaration: Declaration;
  /** Offset of the statement in its file. */
  readonly start: number;
  /** Keyword and name, and those of the lines in the block. */
  readonly text: string;
}

function outlineOf(file: SourceFile): OutlineEntry[] {
  return file.declarations.flatMap((declaration) => {
    const base = file.offsets.get(declaration) ?? 0;
    return bindDeclaration(file, declaration).statements.map((statement) => {
      const lines = statement.block.map((line) => `${line.word} ${line.name?.text ?? ''}`);
      const text = `${statement.word} ${statement.name?.text ?? ''} { ${lines.join('; ')} }`;
      return { declaration, start: base + statement.whole.start, text };
    });
  });
}

/** The computed values of every run, feed and supply by its name. */
function valuesOf({ account }: Analysis): Map<string, string> {
  const values = new Map<string, string>();
  for (const { run, amps, least, portAmps, groundShift } of account.runs.values())
    values.set(keyOf(run), JSON.stringify({ amps, least, portAmps, groundShift }));
  for (const { feed, amps, drop } of account.feeds.values()) values.set(keyOf(feed), JSON.stringify({ amps, drop }));
  for (const { supply, amps, volts } of account.supplies.values())
    values.set(keyOf(supply), JSON.stringify({ amps, volts }));
  return values;
}

const keyOf = (thing: Thing): string => `${thing.kind} ${thing.name}`;

/** Which runs, feeds and supplies depend on a declaration, as the head of this file says. */
class Dependencies {
  private readonly analysis: Analysis;
  /** From a declaration to those that use a name it gives. */
  private readonly users = new Map<Declaration, Set<Declaration>>();

  constructor(analysis: Analysis) {
    this.analysis = analysis;
    const { plan } = analysis;
    for (const { origin, target } of plan.uses()) this.addUse(origin, target);
    for (const run of plan.runs.values())
      for (const piece of run.pieces) if (piece.kind === 'lead') this.addRoutes(piece.path, run.origin);
    for (const feed of plan.feeds.values())
      for (const piece of feed.pieces) if (piece.kind === 'cable') this.addRoutes(piece.path, feed.origin);
  }

  of(declaration: Declaration): ReadonlySet<string> {
    const reached = new Set<Declaration>();
    for (const start of [declaration, ...this.broughtInBy(declaration)]) this.reach(start, reached);
    const holdsForAll = this.statementsOf(declaration).some((statement) => statement.word === 'plan');
    const touched = new Set<string>();
    for (const { island } of this.analysis.account.islands) {
      const members = [...island.supplies, ...island.controllers, ...island.runs, ...island.feeds, ...island.bonds];
      if (!holdsForAll && !members.some((member) => reached.has(member.origin.declaration))) continue;
      for (const thing of [...island.supplies, ...island.runs, ...island.feeds]) touched.add(keyOf(thing));
    }
    return touched;
  }

  private reach(declaration: Declaration, reached: Set<Declaration>): void {
    if (reached.has(declaration)) return;
    reached.add(declaration);
    for (const user of this.users.get(declaration) ?? []) this.reach(user, reached);
  }

  private addUse(user: Origin, used: Origin): void {
    const users = this.users.get(used.declaration) ?? new Set();
    this.users.set(used.declaration, users.add(user.declaration));
  }

  private addRoutes(path: readonly Place[], user: Origin): void {
    for (const route of this.analysis.plan.routes) {
      const from = path.indexOf(route.from);
      const to = path.indexOf(route.to);
      if (from >= 0 && to >= 0 && Math.abs(from - to) === 1) this.addUse(user, route.origin);
    }
  }

  private statementsOf(declaration: Declaration): readonly BoundStatement[] {
    const file = this.analysis.files.find((candidate) => candidate.offsets.get(declaration) !== undefined);
    return file === undefined ? [] : bindDeclaration(file, declaration).statements;
  }

  /** The declarations of all files that come in through the `use` lines of a declaration. */
  private broughtInBy(declaration: Declaration): Declaration[] {
    return this.statementsOf(declaration).flatMap((statement) => {
      if (statement.word !== 'use') return [];
      const target = this.analysis.files.find((file) => file.uri.endsWith(`/${statement.fields.file?.value ?? ''}`));
      return target?.declarations.flatMap((inside) => [inside, ...this.broughtInBy(inside)]) ?? [];
    });
  }
}

/** Every line with its line break. */
function linesOf(text: string): Range[] {
  const lines: Range[] = [];
  for (const match of text.matchAll(/[^\r\n]*(?:\r\n|\n|\r)|[^\r\n]+$/g))
    lines.push({ start: match.index, end: match.index + match[0].length });
  return lines;
}

/** All tokens of a small file; of a large one as many as are wanted, drawn with a fixed seed. */
function someTokensOf(text: string): Range[] {
  const random = seededRandom(SEED);
  const tokens = LEXER.tokenize(text).tokens.map(({ startOffset, image }) => ({
    start: startOffset,
    end: startOffset + image.length,
  }));
  while (tokens.length > MOST_TOKENS) tokens.splice(Math.floor(random() * tokens.length), 1);
  return tokens;
}
