import { foundFor, valueText } from '../checks/expected.ts';
import type { Finding, Origin } from '../model/finding.ts';
import { volts } from '../model/texts.ts';
import { type Analysis, levelOf } from './analysis.ts';

/** One thing that a plan says must hold, or a reading of the meter, beside what is computed. */
export interface TestOutcome {
  readonly kind: 'expect' | 'measured';
  /** The line without its keyword, as a person would call it. */
  readonly text: string;
  readonly origin: Origin;
  /** What is computed, with its unit, for the plan as it stands; undefined where nothing is. */
  readonly computed: string | undefined;
  readonly passed: boolean;
  /** Why it does not hold, or why it is let pass all the same. */
  readonly message: string | undefined;
}

/**
 * The expectations of a plan with their outcomes, in the order of the plan, and then its readings. Tolerances are in
 * the outcome: the worst corner decides. A pure function of the analysis.
 */
export function expectationsOf(analysis: Analysis): TestOutcome[] {
  const { plan, account, claims } = analysis;
  const expected = claims.expectations.map((expectation): TestOutcome => {
    const found = foundFor(plan, account, expectation);
    return {
      kind: 'expect',
      text: expectation.text,
      origin: expectation.origin,
      computed: found === undefined ? undefined : valueText(expectation, found.value),
      ...outcomeAt(analysis, 'expectation-failed', expectation.limitOrigin),
    };
  });
  const measured = plan.measurements.map((measurement): TestOutcome => {
    const compared = account.measured.find((each) => each.measurement === measurement);
    const { voltsOrigin, tap } = measurement;
    const outcome = outcomeAt(analysis, 'measured-differs', voltsOrigin);
    const unknown = 'Nothing is computed there. The other findings say why.';
    return {
      kind: 'measured',
      text: `${tap.text} ${volts(measurement.volts)}`,
      origin: voltsOrigin,
      computed: compared === undefined ? undefined : volts(compared.computedVolts),
      ...(compared === undefined ? { passed: false, message: unknown } : outcome),
    };
  });
  return [...expected, ...measured];
}

function outcomeAt(
  { findings, accepted }: Analysis,
  code: string,
  at: Origin,
): Pick<TestOutcome, 'passed' | 'message'> {
  const isHere = ({ code: found, origin }: Finding) =>
    found === code && origin.declaration === at.declaration && origin.start === at.start;
  const failed = findings.find(isHere);
  if (failed !== undefined) return { passed: false, message: failed.message };
  // "under pink" would else be tested under the look of the plan, and pass for something that nobody said.
  const misread = findings.find(
    (finding) => finding.origin.declaration === at.declaration && levelOf(finding) === 'error',
  );
  if (misread !== undefined)
    return { passed: false, message: `Not tested, for the line cannot be read: ${misread.message}` };
  const pardon = accepted.find(({ finding }) => isHere(finding));
  return { passed: true, message: pardon === undefined ? undefined : `accepted: ${pardon.by.reason}` };
}

/** Expect and measured lines that could not be read: none of them may pass for tested. */
export function unreadTests({ statements, claims, plan }: Analysis): number {
  const lines = statements.filter(({ word }) => word === 'expect' || word === 'measured').length;
  return lines - claims.expectations.length - plan.measurements.length;
}
