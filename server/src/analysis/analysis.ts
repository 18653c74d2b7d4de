import type { SourceFile } from '#grammar/source.ts';
import type { Preview, SuggestContext } from '../checks/check.ts';
import { CHECK_BY_CODE } from '../checks/registry.ts';
import type { Account } from '../model/account.ts';
import { type BoundStatement, bindDeclaration } from '../model/declarations.ts';
import { collector, type Edit, type Finding, type Fix, type Level } from '../model/finding.ts';
import { once } from '../model/once.ts';
import type { Plan } from '../model/plan.ts';
import { finish, type Steps } from '../model/steps.ts';
import { suggestFixes } from '../planning/suggestions.ts';
import { type Accepted, sortAccepted } from './accept.ts';
import { leavesOut, withoutFollowUps } from './follow-ups.ts';
import { concat } from './merge-plans.ts';
import { misplacedIn } from './misplaced.ts';
import type { Whole } from './pieces.ts';
import { resolveUse } from './resolve-use.ts';

export type FileReader = (uri: string) => SourceFile | Refused | 'missing' | 'pending' | undefined;

/** A file that is there but is not read: the code of the finding, and what is the matter with it ("is a folder"). */
export interface Refused {
  readonly refused: 'file-outside' | 'missing-file' | 'too-large';
  readonly reason: string;
}

/** A plan and all that is known of it: one immutable snapshot. */
export interface Analysis extends Preview {
  readonly uri: string;
  /** The main file and every file that it uses, in the order of first use. */
  readonly files: readonly SourceFile[];
  /** Files that are still on their way; the analysis is worth repeating when they have come. */
  readonly pending: readonly string[];
  readonly plan: Plan;
  readonly account: Account;
  readonly statements: readonly BoundStatement[];
  /** What stays to be said: without what the plan accepts. */
  readonly findings: readonly Finding[];
  readonly accepted: readonly Accepted[];
  /** The fixes of a finding that hold, those that need computing included; kept once computed. */
  readonly fixesOf: (finding: Finding) => readonly Fix[];
  /**
   * The same in steps of a few milliseconds; of use as long as the texts are those of this analysis. Some are still to be
   * asked whether they hold.
   */
  readonly fixSteps: (finding: Finding) => Steps<readonly Fix[]>;
  /** The plan as it would be after some edits. */
  readonly preview: (edits: readonly Edit[]) => Preview;
}

const MOST_FILE_SIZE = 2_000_000;
const MOST_LINES = 50_000;
const MOST_FILES = 1000;
const MOST_DEPTH = 32;

export function analyse(
  uri: string,
  read: FileReader,
  root: string | undefined,
  assemble: (statements: readonly BoundStatement[]) => Whole,
  preview: (edits: readonly Edit[]) => Preview,
): Analysis {
  const { findings, report } = collector();
  /** Found, but said by others in their stead. */
  const unsaid: Finding[] = [];
  const files: SourceFile[] = [];
  const pending: string[] = [];
  const statements: BoundStatement[] = [];
  const folder = root ?? uri.slice(0, uri.lastIndexOf('/') + 1);
  const visit = (file: SourceFile, depth: readonly string[]) => {
    files.push(file);
    const excess = excessOf(file.text);
    const [first] = file.declarations;
    if (excess !== undefined && first !== undefined) {
      const origin = { uri: file.uri, declaration: first, start: 0, end: 0 };
      return report({
        code: 'too-large',
        origin,
        message: `This file ${excess}, so it is not read. Split it with "use".`,
      });
    }
    const said = file.declarations.map((declaration) => bindDeclaration(file, declaration));
    const misplaced = misplacedIn(file, said);
    for (const finding of misplaced.insteadOf) unsaid.push(finding);
    for (const finding of misplaced.findings) findings.push(finding);
    for (const bound of said) {
      // One by one: a broken file may have more findings than a call can have arguments.
      for (const finding of bound.findings) if (!misplaced.insteadOf.has(finding)) findings.push(finding);
      for (const statement of bound.statements) {
        statements.push(statement);
        if (statement.word === 'use') follow(statement, file, depth);
      }
    }
  };
  const follow = (statement: Extract<BoundStatement, { word: 'use' }>, file: SourceFile, depth: readonly string[]) => {
    const path = statement.fields.file;
    if (path === undefined) return;
    const target = resolveUse(file.uri, path.value, folder);
    const say = (code: string, message: string) => report({ code, origin: path.origin, message });
    if (target === undefined) return say('file-outside', outsideText(path.value, file.uri));
    if (target === file.uri) return say('file-cycle', `"${path.value}" is this file itself. Take the "use" line out.`);
    if ([...depth, file.uri].includes(target))
      return say(
        'file-cycle',
        `"${path.value}" uses this file, and this file uses it. Take one of the two "use" lines out.`,
      );
    if (files.some((known) => known.uri === target)) return;
    if (depth.length >= MOST_DEPTH)
      return say('file-cycle', `Files use files more than ${MOST_DEPTH} deep; "${path.value}" is not read.`);
    const found = read(target);
    if (found === 'pending') pending.push(target);
    else if (found === 'missing' || found === undefined)
      say('missing-file', `There is no file "${path.value}" beside this one, or it cannot be read.`);
    else if ('refused' in found) say(found.refused, `"${path.value}" ${found.reason}, so it is not read.`);
    else if (excessOf(found.text) !== undefined)
      say('too-large', `"${path.value}" ${excessOf(found.text)}, so it is not read.`);
    else if (files.length >= MOST_FILES)
      say('too-large', `The plan has more than ${MOST_FILES.toLocaleString('en')} files; "${path.value}" is not read.`);
    else visit(found, [...depth, file.uri]);
  };
  const main = read(uri);
  if (main !== undefined && main !== 'missing' && main !== 'pending' && !('refused' in main)) visit(main, []);
  const whole = assemble(statements);
  const sort = () => {
    const found = whole.findings();
    const left = withoutFollowUps([...findings, ...unsaid], found);
    const isWhole = left.length === found.length && ![...findings, ...left].some(leavesOut);
    return sortAccepted(whole.claims, concat([findings, left]), isWhole);
  };
  const { plan, account, claims } = whole;
  const sorted = once(sort);
  const ctx: SuggestContext = { plan, account, claims, preview };
  const known = { uri, files, pending, plan, account, claims, statements, preview };
  return Object.assign(new Sorted(sorted), known, fixCache(ctx));
}

/** What is found when it is first asked for: a hover or a completion does not wait for it. */
class Sorted {
  private readonly sorted: () => Pick<Analysis, 'findings' | 'accepted'>;

  constructor(sorted: () => Pick<Analysis, 'findings' | 'accepted'>) {
    this.sorted = sorted;
  }

  get findings(): readonly Finding[] {
    return this.sorted().findings;
  }

  get accepted(): readonly Accepted[] {
    return this.sorted().accepted;
  }
}

/** A text that nobody has saved has an address without folders: "outside" would send a person to the wrong place. */
function outsideText(path: string, from: string): string {
  return /^[a-z][a-z0-9+.-]*:\/\//i.test(from)
    ? `"${path}" lies outside the folder of this display, so it is not read. Copy the file into the folder.`
    : `"${path}" is not read, since this plan has no place on the disk yet. Save the plan beside that file.`;
}

/** What makes a text too large to be a plan. */
function excessOf(text: string): string | undefined {
  if (text.length > MOST_FILE_SIZE) return 'is larger than 2 MB';
  if (text.length < MOST_LINES) return undefined;
  let lines = 1;
  for (let at = text.indexOf('\n'); at >= 0; at = text.indexOf('\n', at + 1)) lines++;
  return lines > MOST_LINES ? `has more than ${MOST_LINES.toLocaleString('en')} lines` : undefined;
}

function fixCache(ctx: SuggestContext): Pick<Analysis, 'fixesOf' | 'fixSteps'> {
  const kept = new WeakMap<Finding, readonly Fix[]>();
  const fixSteps = function* (finding: Finding): Steps<readonly Fix[]> {
    const known = kept.get(finding);
    if (known !== undefined) return known;
    const own = CHECK_BY_CODE.get(finding.code)?.suggest?.(ctx, finding) ?? [];
    const fixes = [...finding.fixes, ...own, ...(yield* suggestFixes(ctx, finding))];
    kept.set(finding, fixes);
    return fixes;
  };
  return { fixSteps, fixesOf: (finding) => finish(fixSteps(finding)).filter(({ holds }) => holds?.() !== false) };
}

/** The level of a finding: its own, or its code's. */
export function levelOf(finding: Finding): Level {
  return finding.level ?? CHECK_BY_CODE.get(finding.code)?.level ?? 'error';
}
