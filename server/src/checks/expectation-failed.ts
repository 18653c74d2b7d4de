import type { Expectation } from '../model/claims.ts';
import type { Check } from './check.ts';
import { beyond, type Found, foundFor, holds, valueText } from './expected.ts';
import * as needs from './needs.ts';

export const expectationFailed: Check = {
  code: 'expectation-failed',
  level: 'warning',
  title: 'Something that the plan expects does not hold',
  explanation: `An \`expect\` line states what must hold: the least voltage of a run, the most current of a circuit, the
most cables on a route. It is a promise of the plan to itself, so that next year's change cannot break it unseen.

It is computed for the look that the line names, or else for the look that the plan is designed for. Where the plan
states a tolerance, the worst corner counts. A value that cannot be computed does not hold either.

Change the plan until it holds, or change the number if you expected too much.`,
  whole: true,
  needs: needs.expectations,
  run: ({ plan, account, claims }, report) => {
    for (const [index, expectation] of claims.expectations.entries()) {
      const found = foundFor(plan, account, expectation);
      if (holds(expectation, found)) continue;
      report({
        code: 'expectation-failed',
        excess: found === undefined ? Number.POSITIVE_INFINITY : beyond(expectation, found),
        origin: expectation.limitOrigin,
        subject: `expectation ${index}`,
        message: found === undefined ? unknownText(expectation) : failedText(expectation, found),
        related: [{ origin: originOf(expectation), message: 'What it is about.' }],
      });
    }
  },
};

function unknownText({ text }: Expectation): string {
  return `"${text}" cannot be shown to hold: nothing is computed there. The other findings say why.`;
}

function failedText(expectation: Expectation, found: Found): string {
  const { side, limit, subject, look, brightness, text } = expectation;
  const at = found.pixel === undefined ? '' : ` at pixel ${found.pixel}`;
  const when = subject.kind === 'route' ? '' : ` under ${look} at ${Number((brightness * 100).toFixed(1))} %`;
  const name = subjectName(expectation, text);
  const limitText = valueText({ ...expectation, limit: found.value }, limit);
  return `${name}: ${valueText(expectation, found.value)}${at}${when}; the plan expects at ${side} ${limitText}.`;
}

/** The words of the line in front of its limit. */
function subjectName({ subject }: Expectation, text: string): string {
  const words = text.split(/ at (?:least|most) /)[0] ?? text;
  return subject.kind === 'pixels' || subject.kind === 'joint' ? words : words.replace(/^(\w+) /, 'The $1 ');
}

function originOf({ subject }: Expectation) {
  switch (subject.kind) {
    case 'pixels':
      return subject.whole ? subject.run.origin : (subject.pieces[0]?.origin ?? subject.run.origin);
    case 'joint':
      return subject.piece.origin;
    case 'feed':
      return subject.feed.origin;
    case 'supply':
      return subject.supply.origin;
    case 'circuit':
      return subject.circuit.origin;
    case 'route':
      return subject.route.origin;
  }
}
