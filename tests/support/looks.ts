import { coverageOf, lookedAt } from '#server/checks/coverage.ts';
import { analysePlan } from './plans.ts';

/** What each check says that it looked at, and why not at all or not at more. */
export function looks(text: string): Record<string, string> {
  const { analysis } = analysePlan(text);
  return Object.fromEntries(
    coverageOf(analysis)
      .filter(({ check }) => check.needs !== undefined)
      .map((each) => [each.check.code, [lookedAt(each), each.why].filter((part) => part !== undefined).join('; ')]),
  );
}
