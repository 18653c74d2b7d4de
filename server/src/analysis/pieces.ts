import type { Check } from '../checks/check.ts';
import { CHECKS } from '../checks/registry.ts';
import { findAtCorners, reportFailure } from '../checks/run-checks.ts';
import { type Account, accountsAt, readIslands } from '../model/account.ts';
import { buildCommon, buildThings, type Common, unitsOf } from '../model/builders/build-plan.ts';
import { buildClaims, isClaim } from '../model/builders/claims.ts';
import type { KnownNames, ThingKind } from '../model/builders/context.ts';
import { type Claims, isOfDesign, lookKey } from '../model/claims.ts';
import { type Conditions, cornersOf, nominal } from '../model/corners.ts';
import type { BoundStatement } from '../model/declarations.ts';
import { collector, type Finding, type Origin, type Report } from '../model/finding.ts';
import { type Groups, grouped, isThing, regrouped, type ThingStatement } from '../model/groups.ts';
import { once } from '../model/once.ts';
import type { Design, Plan } from '../model/plan.ts';
import type { SolutionCache } from '../model/solution-cache.ts';
import { concat, type Merged, merge, planOf } from './merge-plans.ts';
import { mergedAccount, type Parts } from './merged-account.ts';

/**
 * A plan in pieces: what is common to it, and groups of things that name each other. What an edit did not touch is taken
 * over whole: its part of the plan, its solution, its findings. So an edit costs what it changes. Names are resolved at
 * once; a piece is solved when its account is first asked for, and checked when findings are.
 */
export interface Whole {
  readonly plan: Plan;
  readonly account: Account;
  readonly claims: Claims;
  readonly findings: () => readonly Finding[];
}

interface Piece {
  readonly statements: readonly ThingStatement[];
  readonly common: Common;
  readonly plan: Plan;
  /** The nominal account first, then one for each corner. */
  readonly accounts: () => readonly Account[];
  readonly findings: () => readonly Finding[];
  /** What is said of an unknown name depends on the names that the rest of the plan has: then, those names. */
  readonly among: KnownNames | undefined;
}

/** How the statements of a plan were put together. */
interface Assembly {
  readonly groups: Groups;
  /** In which group a thing is; the same for all plans whose groups are of the same names. */
  readonly placeOf: Parts['placeOf'];
  readonly common: CommonParts;
  readonly merged: Merged;
}

interface CommonParts {
  readonly statements: readonly BoundStatement[];
  readonly units: Design['units'];
  readonly made: Common;
  readonly findings: readonly Finding[];
}

export class PieceCache {
  /** What the plan was the time before, trials left out. */
  private last: Assembly | undefined;
  /** By the first statement of a group. A trial reads what it changes anew, so what is made for it never comes again. */
  private readonly pieces = new WeakMap<ThingStatement, Piece>();
  private readonly solutions: SolutionCache;

  constructor(solutions: SolutionCache) {
    this.solutions = solutions;
  }

  /** A plan of statements. That of a trial, a plan as it would be, changes nothing in what the next one takes over. */
  assemble(statements: readonly BoundStatement[], isTrial = false): Whole {
    const { last } = this;
    const wired = statements.filter(isThing);
    const again = last === undefined ? undefined : regrouped(last.groups, wired);
    const groups = again ?? grouped(wired);
    const alike = again === undefined ? undefined : last;
    const known = alike?.merged.known ?? knownNames(wired);
    const placeOf = alike?.placeOf ?? placesOf(groups.groups);
    const shared = commonOf(statements, last?.common);
    const { made: common, findings } = shared;
    const pieces = groups.groups.map((group) => this.pieceOf(group, common, known, isTrial));
    const merged = merge(pieces, known, last?.merged);
    if (!isTrial) this.last = { groups, placeOf, common: shared, merged };
    const things = planOf(common, merged);
    const claimed = collector();
    const { claims, uses } = buildClaims(things, statements.filter(isClaim), claimed.report);
    const plan = uses.length === 0 ? things : { ...things, uses: () => [...things.uses(), ...uses] };
    const conditions = [nominal(plan.design), ...cornersOf(plan.design)];
    const accounts = conditions.map((each, corner) =>
      mergedAccount({ count: pieces.length, at: (index) => pieces[index]?.accounts()[corner], placeOf }, () =>
        this.looksOf(plan, claims, each, claimed.report),
      ),
    );
    const [account = EMPTY] = accounts;
    const at = statements[0]?.keyword;
    const check = () => {
      // First, since other looks are solved only for these checks, and report what cannot be solved.
      const whole = findAtCorners(WHOLE_CHECKS, plan, accounts, at, claims);
      return concat([findings, ...pieces.map((piece) => piece.findings()), claimed.findings, whole]);
    };
    return { plan, account, claims, findings: check };
  }

  /** The whole plan under every other look that something is expected of. */
  private looksOf(plan: Plan, claims: Claims, conditions: Conditions, report: Report): ReadonlyMap<string, Account> {
    const looks = new Map<string, Account>();
    for (const expectation of claims.expectations) {
      const key = lookKey(expectation);
      if (isOfDesign(expectation, plan.design) || looks.has(key)) continue;
      const { look, brightness, origin } = expectation;
      const stated = <T>(value: T) => ({ value, origin, source: 'an expectation' });
      const lit = { ...plan.design, look: stated(look), brightness: stated(brightness) };
      const [account] = this.solve({ ...plan, design: lit, measurements: [] }, [conditions], origin, report);
      if (account !== undefined) looks.set(key, account);
    }
    return looks;
  }

  private pieceOf(group: readonly ThingStatement[], common: Common, known: KnownNames, isTrial: boolean): Piece {
    const first = group[0] as ThingStatement;
    const kept = this.pieces.get(first);
    if (
      kept?.common === common &&
      (kept.among === undefined || kept.among === known) &&
      (kept.statements === group || same(kept.statements, group))
    )
      return kept;
    const piece = this.makePiece(group, common, known);
    if (!isTrial) this.pieces.set(first, piece);
    return piece;
  }

  private makePiece(group: readonly ThingStatement[], common: Common, known: KnownNames): Piece {
    const { findings, report } = collector();
    const plan = buildThings(common, group, report, known);
    const isLocal = !findings.some(({ code }) => code === 'unknown-name');
    const at: Origin | undefined = group[0]?.keyword;
    const accounts = once(() => this.solve(plan, [nominal(plan.design), ...cornersOf(plan.design)], at, report));
    const check = () => {
      const checked = findAtCorners(GROUP_CHECKS, plan, accounts(), at);
      return concat([findings, checked]);
    };
    return {
      statements: group,
      common,
      plan,
      accounts,
      findings: once(check),
      among: isLocal ? undefined : known,
    };
  }

  /** A fault of the solver must not take the rest of the plan with it. */
  private solve(plan: Plan, conditions: readonly Conditions[], at: Origin | undefined, report: Report): Account[] {
    try {
      return accountsAt(plan, this.solutions, conditions);
    } catch (error) {
      reportFailure('its solver', error, at, report);
      return conditions.map(() => EMPTY);
    }
  }
}

const EMPTY: Account = readIslands([]);

const GROUP_CHECKS: readonly Check[] = CHECKS.filter((check) => check.whole !== true);
const WHOLE_CHECKS: readonly Check[] = CHECKS.filter((check) => check.whole === true);

function same<T>(a: readonly T[], b: readonly T[]): boolean {
  return a.length === b.length && a.every((item, index) => item === b[index]);
}

function knownNames(things: readonly ThingStatement[]): Map<ThingKind, Set<string>> {
  const known = new Map<ThingKind, Set<string>>();
  for (const { word, name } of things) {
    if (name === undefined || word === 'measured') continue;
    const kind = kindOf(word);
    const names = known.get(kind);
    if (names === undefined) known.set(kind, new Set([name.text]));
    else names.add(name.text);
  }
  return known;
}

/** In which group the thing of a kind and name is, found when it is first asked for. */
function placesOf(groups: Groups['groups']): Parts['placeOf'] {
  const places = once(() => {
    const found = new Map<string, number>();
    for (const [index, group] of groups.entries())
      for (const { word, name } of group)
        if (name !== undefined && word !== 'measured') found.set(`${kindOf(word)} ${name.text}`, index);
    return found;
  });
  return ({ kind, name }) => places().get(`${kind} ${name}`);
}

/** What is common to a plan, taken over from the time before where no statement of it is another. */
function commonOf(statements: readonly BoundStatement[], before: CommonParts | undefined): CommonParts {
  const shared = statements.filter((statement) => !isThing(statement) && !isClaim(statement));
  const units = unitsOf(statements);
  if (before !== undefined && before.units === units && same(before.statements, shared)) return before;
  const { findings, report } = collector();
  return { statements: shared, units, made: buildCommon(statements, report), findings };
}

/** What things are to those who name them: a receiver brings ports as a controller does, floods hang on feeds as runs do. */
function kindOf(word: Exclude<ThingStatement['word'], 'measured'>): ThingKind {
  return word === 'receiver' ? 'controller' : word === 'flood' ? 'run' : word;
}
