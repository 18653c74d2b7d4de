import { expect, test } from 'vitest';
import { CHECKS } from '#server/checks/registry.ts';

/** What each of these can do to people, apart from spoiling the show. None of them may be accepted out of sight. */
const HARMS: Readonly<Record<string, string>> = {
  'feed-unfused': 'a pinched cable without a fuse takes all that the supply gives: fire',
  'fuse-too-large': 'the cable glows before the fuse opens: fire',
  'cable-overloaded': 'insulation softens: fire',
  'conductor-overloaded': 'the thin wire of the string softens its insulation: fire',
  'connector-overloaded': 'contacts brown and char: fire',
  'circuit-overloaded': 'mains cable and breaker run hot',
  'supplies-meet': 'one supply feeds into another and its fault',
  'wrong-voltage': 'parts burn',
};

test('what can hurt somebody is a hazard, and nothing else is', () => {
  const hazards = CHECKS.filter(({ hazard }) => hazard === true).map(({ code }) => code);
  expect(hazards.sort()).toEqual(Object.keys(HARMS).sort());
});
