import type { Statement } from '#grammar/ast.ts';
import { sure } from '#grammar/sure.ts';
import { CHECK_BY_CODE } from '../checks/registry.ts';
import type { Finding, Origin } from '../model/finding.ts';

/**
 * Takes out what is said only because of something that has been said already, so that one slip is one finding:
 *
 * - a second finding on a word that could not be read;
 * - that something is missing, while a line that may bring it cannot be read (`restsOn`);
 * - that a name stands for nothing, while a file that may declare it cannot be read;
 * - loads and volts of what a supply of the wrong voltage reaches (`spoils`).
 *
 * `reading` are the findings of each declaration by itself, `found` those of the plan that was made of them.
 */
export function withoutFollowUps(reading: readonly Finding[], found: readonly Finding[]): Finding[] {
  const unread = new Unread([...reading, ...found].filter(isUnread));
  const spoiled = new Set(found.flatMap((finding) => finding.spoils ?? []));
  if (unread.isEmpty && spoiled.size === 0) return [...found];
  const words = new Unread(reading.filter(isUnread));
  const isFileUnread = reading.some(({ code }) => FILES.has(code));
  return found.filter((finding) => {
    if (isFileUnread && finding.mayBeElsewhere === true) return false;
    if (isUnread(finding) && words.startsAt(finding.origin)) return false;
    if (finding.restsOn?.some((origin) => unread.touches(origin)) === true) return false;
    return !isSpoiled(finding, spoiled);
  });
}

/** Findings of a file that is not read. */
const FILES: ReadonlySet<string> = new Set(['missing-file', 'file-outside', 'too-large']);

/** Is it about words that could not be read, or names that stand for nothing? */
function isUnread({ code }: Finding): boolean {
  const check = CHECK_BY_CODE.get(code);
  return check !== undefined && check.run === undefined && check.level === 'error';
}

/** Does it leave something out of which more could be found? Claims only say of a plan what is known without them. */
export function leavesOut(finding: Finding): boolean {
  const [statement] = finding.origin.declaration.statements;
  const word = statement?.items[0];
  return isUnread(finding) && !(word?.kind === 'word' && CLAIMS.has(word.text));
}

const CLAIMS: ReadonlySet<string> = new Set(['expect', 'accept']);

function isSpoiled({ code, subject }: Finding, spoiled: ReadonlySet<string>): boolean {
  if (subject === undefined || CHECK_BY_CODE.get(code)?.ofLoad !== true) return false;
  return spoiled.has(subject) || spoiled.has(sure(subject.split('.')[0]));
}

/** Places that could not be read, by declaration. */
class Unread {
  private readonly starts = new Map<Origin['declaration'], number[]>();

  constructor(findings: readonly Finding[]) {
    for (const { origin } of findings) {
      const known = this.starts.get(origin.declaration);
      if (known === undefined) this.starts.set(origin.declaration, [origin.start]);
      else known.push(origin.start);
    }
  }

  get isEmpty(): boolean {
    return this.starts.size === 0;
  }

  startsAt({ declaration, start }: Origin): boolean {
    return this.starts.get(declaration)?.includes(start) === true;
  }

  /** Is something unread in the statement of that span? A span of its first line alone leaves its block aside. */
  touches({ declaration, start, end }: Origin): boolean {
    const starts = this.starts.get(declaration);
    if (starts === undefined) return false;
    const statement = innermost(declaration.statements, start, end);
    const from = Math.min(statement?.span.start ?? start, start);
    const block = statement?.block?.span.start ?? statement?.span.end ?? end;
    const to = end <= block ? Math.max(block, end) : (statement?.span.end ?? end);
    return starts.some((at) => at >= from && at <= to);
  }
}

function innermost(statements: readonly Statement[], start: number, end: number): Statement | undefined {
  const around = statements.find(({ span }) => span.start <= start && end <= span.end);
  return around?.block === undefined ? around : (innermost(around.block.statements, start, end) ?? around);
}
