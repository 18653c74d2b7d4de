import type { RunAccount, StringAccount } from '../model/account.ts';
import type { Related, Report } from '../model/finding.ts';
import { isFixture, unitOf } from '../model/fixtures.ts';
import { neededVolts } from '../model/null-pixels.ts';
import type { Plan, Run } from '../model/plan.ts';
import { volts } from '../model/texts.ts';
import type { Check, CheckContext } from './check.ts';
import * as needs from './needs.ts';
import { isCollapsed, isDark } from './string-state.ts';

export const lowVoltage: Check = {
  code: 'low-voltage',
  level: 'warning',
  ofLoad: true,
  title: 'A pixel gets less voltage than it needs for true white',
  needs: needs.solvedRuns,
  explanation: `Every pixel draws its current through the thin conductors of its own string, so the voltage sags towards
the far end. Below the least voltage of the part, blue and green starve first: white turns warm, then pixels flicker.

The voltage is computed for the look that the plan is designed for, on both rails, at the warmest air of the plan.
The least voltage stands in the part (\`least 10.8 V\`); where it does not, 90 % of nominal is taken (common practice).

What helps: inject power again near the lowest pixel (\`feed … to run[pixel]\`), use a thicker or doubled feed,
shorten the lead, raise the supply's set voltage within its range, or split the run over two ports.`,
  run: ({ plan, account }: CheckContext, report: Report) => {
    for (const run of account.runs.values()) {
      const worst = worstString(run);
      if (worst === undefined) continue;
      const limit = worst.piece.part.least.value;
      const where = worst.piece.element === undefined ? '' : ` (${worst.piece.element})`;
      report({
        code: 'low-voltage',
        excess: 1 - worst.least.volts / limit,
        origin: worst.piece.origin,
        subject: run.run.name,
        message: isFixture(worst.piece.part)
          ? `${unitOf(worst.piece.part)} ${worst.least.pixel} of ${run.run.name}${where} gets ${volts(worst.least.volts)}; ${worst.piece.part.name} needs ${volts(limit)} for its full light. Take a thicker or shorter feed, or fewer on one feed.`
          : `${run.run.name} sags to ${volts(worst.least.volts)} at pixel ${worst.least.pixel}${where}; ${worst.piece.part.name} needs ${volts(limit)} for true white. Inject power near there.`,
        related: feedPath(plan, run.run),
      });
    }
  },
};

/** The string furthest below what its pixels need, if any is. */
export function worstString(run: RunAccount): StringAccount | undefined {
  let worst: StringAccount | undefined;
  let most = 1e-9;
  for (const string of run.strings) {
    const needed = neededVolts(string.piece);
    if (needed === undefined || isDark(string) || isCollapsed(string)) continue; // Other checks say so.
    const short = needed - string.least.volts;
    if (short > most) {
      most = short;
      worst = string;
    }
  }
  return worst;
}

/** Where the run gets its power: controller and feeds. */
function feedPath(plan: Plan, run: Run): Related[] {
  const related: Related[] = [];
  if (run.controller?.from !== undefined && run.portOrigin !== undefined) {
    related.push({ origin: run.portOrigin, message: `${run.name} starts at ${run.controller.name}.${run.port}.` });
  }
  for (const feed of plan.feeds.values()) {
    const [tap] = feed.pieces.flatMap((piece) => (piece.kind === 'tap' && piece.tap.run === run ? [piece.tap] : []));
    if (tap !== undefined) related.push({ origin: feed.origin, message: `${feed.name} feeds ${tap.text}.` });
  }
  return related;
}
