import { CHECK_BY_CODE, CHECKS } from '../checks/registry.ts';
import type { Acceptance, AcceptedOn, Claims } from '../model/claims.ts';
import { collector, type Finding, type Origin, type Report } from '../model/finding.ts';
import { closest } from '../model/spelling.ts';

/** A finding that the plan accepts, with the line that does and its reason. */
export interface Accepted {
  readonly finding: Finding;
  readonly by: Acceptance;
}

export interface Sorted {
  /** What stays to be said. What can hurt somebody is among it even when it is accepted, at the lowest level. */
  readonly findings: readonly Finding[];
  readonly accepted: readonly Accepted[];
}

/**
 * Sorts out the findings that a plan accepts: the one place where that is done, for the editor and the command line
 * alike. Accept lines that meet nothing, and codes that cannot be accepted, are findings of their own. Whether a line meets
 * nothing is known only of a plan of which all could be read (`isWhole`).
 */
export function sortAccepted({ acceptances }: Claims, findings: readonly Finding[], isWhole: boolean): Sorted {
  if (acceptances.length === 0) return { findings, accepted: [] };
  const { findings: said, report } = collector();
  const valid = acceptances.filter((acceptance) => isAcceptable(acceptance, report));
  const used = new Set<Acceptance>();
  const accepted: Accepted[] = [];
  const left = findings.flatMap((finding): Finding[] => {
    const by = valid.find((each) => each.code === finding.code && (each.on === undefined || isOn(finding, each.on)));
    if (by === undefined) return [finding];
    used.add(by);
    accepted.push({ finding, by });
    if (CHECK_BY_CODE.get(finding.code)?.hazard !== true) return [];
    const message = `${finding.message} Accepted ("${by.reason}"), but it can hurt: it stays in sight.`;
    return [{ ...finding, level: 'information', message }];
  });
  if (isWhole) for (const acceptance of valid) if (!used.has(acceptance)) reportUnused(acceptance, report);
  return { findings: [...left, ...said], accepted };
}

/** What was not computed cannot be known, and a wrong voltage destroys. */
const NEVER: ReadonlySet<string> = new Set(['unsolved', 'wrong-voltage']);

/** Codes that a plan may accept: what is computed of it. Words that cannot be read are mended, not accepted. */
export const ACCEPTABLE: ReadonlySet<string> = new Set(
  CHECKS.filter((check) => check.run !== undefined && !NEVER.has(check.code)).map((check) => check.code),
);

function isAcceptable({ code, codeOrigin, on }: Acceptance, report: Report): boolean {
  // What can hurt somebody is known for one thing at most: a line for everything would hide what is not known yet.
  if (on === undefined && CHECK_BY_CODE.get(code)?.hazard === true) {
    report({
      code: 'unknown-name',
      origin: codeOrigin,
      message: `"${code}" can hurt, so it is not accepted everywhere. Name the thing that you have looked at: accept ${code}  of eaves  because "…".`,
    });
    return false;
  }
  if (ACCEPTABLE.has(code)) return true;
  const near = CHECK_BY_CODE.has(code) ? undefined : closest(code, ACCEPTABLE);
  report({
    code: 'unknown-name',
    origin: codeOrigin,
    message: CHECK_BY_CODE.has(code)
      ? `"${code}" cannot be accepted. Mend what it speaks of instead.`
      : `There is no finding of the code "${code}".${near === undefined ? ' festoon explain lists the codes.' : ` Did you mean "${near}"?`}`,
    fixes:
      near === undefined
        ? []
        : [{ title: `Write ${near}`, edits: [{ origin: codeOrigin, text: near }], preferred: true }],
  });
  return false;
}

function isOn({ origin, subject }: Finding, on: AcceptedOn): boolean {
  switch (on.kind) {
    case 'thing':
      return (
        subject === on.name ||
        subject?.startsWith(`${on.name}.`) === true ||
        on.statements.some((each) => holds(each, origin))
      );
    case 'lines':
      return on.names.some((name) => holds(name, origin));
    case 'route':
      return subject === `${on.from.name} to ${on.to.name}` || subject === `${on.to.name} to ${on.from.name}`;
  }
}

function holds(outer: Origin, inner: Origin): boolean {
  return outer.declaration === inner.declaration && outer.start <= inner.start && outer.end >= inner.end;
}

function reportUnused({ code, origin }: Acceptance, report: Report): void {
  report({
    code: 'accept-unused',
    origin,
    message: `There is no ${code} here to accept any more. Take this line out.`,
    fixes: [{ title: 'Take this accept line out', edits: [{ origin, text: '' }], preferred: false }],
  });
}
