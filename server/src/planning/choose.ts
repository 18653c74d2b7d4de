import { sure } from '#grammar/sure.ts';

/** One of several ways to serve a group, with what it costs and what it uses up. */
export interface Candidate {
  /** Added up over all groups and compared one after the other. */
  readonly cost: readonly number[];
  readonly uses: ReadonlyMap<string, number>;
}

export interface Chosen {
  /** For each group the candidate that was chosen, or undefined where it stays unserved. */
  readonly picks: readonly (number | undefined)[];
  /** Groups left unserved, then the sums of the costs. */
  readonly cost: readonly number[];
  /** No choice of these candidates costs less than this. */
  readonly bound: readonly number[];
}

/** Steps after which the search ends with what it has; the bound then says how far off that may be. */
const MOST_STEPS = 200_000;

/**
 * Chooses one candidate for each group so that nothing is used beyond its limit: as few groups as can be stay unserved,
 * then the costs are least, compared one after the other.
 *
 * Branch and bound, depth first, cheapest first. What is left to choose costs at least the sum of the cheapest candidates
 * of the groups that are left: costs that are compared one after the other may be added, and dropping the limits makes
 * nothing dearer. So the first cost of all, without limits, is a bound on the whole as well.
 */
export function chooseCandidates(
  groups: readonly (readonly Candidate[])[],
  limits: ReadonlyMap<string, number>,
  mostSteps = MOST_STEPS,
): Chosen {
  const width = Math.max(1, ...groups.flatMap((group) => group.map(({ cost }) => cost.length))) + 1;
  const unserved = Array.from({ length: width }, (_, at) => (at === 0 ? 1 : 0));
  const options = groups.map((group) =>
    [
      ...group.map(({ cost, uses }, pick): Option => ({ pick, cost: [0, ...cost], uses })),
      { pick: undefined, cost: unserved, uses: new Map() } satisfies Option,
    ].sort((a, b) => compareLists(a.cost, b.cost)),
  );
  const rest = restOf(options, width);
  const left = new Map(limits);
  const picks: (number | undefined)[] = [];
  let best: { picks: (number | undefined)[]; cost: readonly number[] } | undefined;
  let steps = 0;
  const visit = (group: number, cost: readonly number[]) => {
    if (++steps > mostSteps && best !== undefined) return;
    if (best !== undefined && compareLists(sumOf(cost, sure(rest[group])), best.cost) >= 0) return;
    const own = options[group];
    if (own === undefined) {
      best = { picks: [...picks], cost };
      return;
    }
    for (const option of own) {
      if ([...option.uses].some(([what, amount]) => amount > (left.get(what) ?? Number.POSITIVE_INFINITY) + 1e-9))
        continue;
      take(left, option.uses, -1);
      picks.push(option.pick);
      visit(group + 1, sumOf(cost, option.cost));
      picks.pop();
      take(left, option.uses, 1);
    }
  };
  visit(0, new Array<number>(width).fill(0));
  // To leave all unserved is always possible, so the first way down reaches the end.
  const found = sure(best);
  return { ...found, bound: steps > mostSteps ? sure(rest[0]) : found.cost };
}

interface Option {
  readonly pick: number | undefined;
  readonly cost: readonly number[];
  readonly uses: ReadonlyMap<string, number>;
}

/** What the groups from each one on cost at least. */
function restOf(options: readonly (readonly Option[])[], width: number): number[][] {
  const rest: number[][] = [new Array<number>(width).fill(0)];
  for (const own of [...options].reverse()) rest.unshift(sumOf(sure(rest[0]), sure(own[0]).cost));
  return rest;
}

function take(left: Map<string, number>, uses: ReadonlyMap<string, number>, sign: 1 | -1): void {
  for (const [what, amount] of uses) {
    const now = left.get(what);
    if (now !== undefined) left.set(what, now + sign * amount);
  }
}

function sumOf(a: readonly number[], b: readonly number[]): number[] {
  return a.map((value, index) => value + (b[index] as number));
}

/** Below zero where the first of two lists of one length is less: at the first place where they differ by more than rounding. */
export function compareLists(a: readonly number[], b: readonly number[]): number {
  for (const [index, value] of a.entries()) {
    const other = b[index] as number;
    if (Math.abs(value - other) > 1e-9 * Math.max(Math.abs(value), Math.abs(other))) return value - other;
  }
  return 0;
}
