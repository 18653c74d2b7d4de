import type { Accepted } from '../../analysis/accept.ts';
import type { Analysis } from '../../analysis/analysis.ts';
import { expectationsOf } from '../../analysis/expectations.ts';
import { foundFor, holds, valueText } from '../../checks/expected.ts';
import { CHECK_BY_CODE } from '../../checks/registry.ts';
import type { Expectation, Expected } from '../../model/claims.ts';
import { type Card, type Fact, fact } from '../card.ts';
import type { Thing } from '../names.ts';
import { conditions } from './conditions.ts';

/** What a plan says of itself: expectations, and findings that it accepts. */

const MOST_LISTED = 6;

/** What is computed for an expectation, beside its limit. */
export function expectationCard(analysis: Analysis, expectation: Expectation): Card {
  const found = foundFor(analysis.plan, analysis.account, expectation);
  const { look, brightness, subject } = expectation;
  const at = found?.pixel === undefined ? '' : ` at pixel ${found.pixel}`;
  const message = expectationsOf(analysis).find(({ origin }) => origin === expectation.origin)?.message;
  return {
    kind: 'expect',
    label: expectation.text,
    summary: found === undefined ? 'nothing is computed there' : `${valueText(expectation, found.value)}${at}`,
    facts: [
      ...fact('holds', holds(expectation, found) ? 'yes' : 'no', 'as set and as sold'),
      ...(subject.kind === 'route' ? [] : fact('lit', `${look} at ${Number((brightness * 100).toFixed(1))} %`)),
    ],
    notes: [
      ...(message === undefined ? [] : [message]),
      ...(subject.kind === 'route' ? [] : [conditions(analysis.plan)]),
    ],
  };
}

/** The explanation of a code. */
export function codeCard(code: string): Card | undefined {
  const check = CHECK_BY_CODE.get(code);
  if (check === undefined) return undefined;
  return {
    kind: check.level,
    name: code,
    label: check.title,
    facts: [],
    notes: check.explanation.split(/\n\s*\n/).map((text) => text.replaceAll('\n', ' ').replaceAll('`', '')),
  };
}

/** What is accepted and what is expected of a thing. */
export function claimFacts(analysis: Analysis, thing: Thing): Fact[] {
  const { expectations, acceptances } = analysis.claims;
  const expected = expectations.filter(({ subject }) => isAbout(subject, thing)).slice(0, MOST_LISTED);
  return [
    ...expected.flatMap((expectation) => {
      const found = foundFor(analysis.plan, analysis.account, expectation);
      const value = found === undefined ? 'nothing is computed' : valueText(expectation, found.value);
      return fact(`expected: ${expectation.text}`, value);
    }),
    // What is accepted is known when all has been checked, which a plan that accepts nothing is spared.
    ...(acceptances.length === 0 ? [] : analysis.accepted)
      .filter((each) => concerns(each, thing))
      .slice(0, MOST_LISTED)
      .flatMap(({ finding, by }) => fact(`accepted: ${finding.code}`, `because ${by.reason}`, finding.message)),
  ];
}

function isAbout(subject: Expected, thing: Thing): boolean {
  switch (subject.kind) {
    case 'pixels':
    case 'joint':
      return subject.run === thing;
    case 'feed':
      return subject.feed === thing;
    case 'supply':
      return subject.supply === thing;
    case 'circuit':
      return subject.circuit === thing;
    case 'route':
      return subject.route.from === thing || subject.route.to === thing;
  }
}

function concerns({ finding }: Accepted, thing: Thing): boolean {
  if (finding.subject === thing.name) return true;
  const whole = 'whole' in thing ? thing.whole : thing.origin;
  const { origin } = finding;
  return whole.declaration === origin.declaration && whole.start <= origin.start && whole.end >= origin.end;
}
