import { expect, test } from 'vitest';
import { Host } from '#server/analysis/host.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { FEW_PARTS } from '../../support/parts.ts';

const MAIN = 'file:///display/plan.festoon';

const PARTS = `plan "Two supplies" {
}
place shed
${FEW_PARTS}`;

/** A run with its supply; a feed of another length is another circuit. */
const group = (name: string, metres: number) => `
supply psu-${name} of big at shed {
  output 1 fuse 7.5 A
}
run ${name} at shed {
  string 50 px of bullet every 75 mm
}
feed feed-${name} from psu-${name}.1 to ${name}.start ${metres} m of lead
`;

const text = (metres: number) => PARTS + group('eaves', 2) + group('ridge', metres);

function opened() {
  const host = new Host(() => ({ missing: true }));
  host.setFile(MAIN, text(3));
  return host;
}

test('a plan is solved when an account is asked for, and only the group of what is asked about', () => {
  const host = opened();
  const { plan, account } = host.analyse(MAIN);
  expect(host.solvedCount).toBe(0);
  const [eaves, ridge] = ['eaves', 'ridge'].map((name) => plan.runs.get(name));
  if (eaves === undefined || ridge === undefined) throw new Error('both runs are in the plan');
  expect(account.runs.get(eaves)?.run).toBe(eaves);
  expect(host.solvedCount).toBe(1);
  expect([...account.runs.keys()]).toEqual([eaves, ridge]);
  expect(host.solvedCount).toBe(2);
});

test('a hover solves the run that it speaks of and checks nothing', () => {
  const host = opened();
  const analysis = host.analyse(MAIN);
  const hover = hoverAt(analysis, MAIN, text(3).indexOf('run ridge') + 'run r'.length);
  expect(hover?.card.summary).toContain('at pixel 50');
  expect(host.solvedCount).toBe(1);
});

test('what is known of a thing that an edit has replaced is not found under the new one', () => {
  const host = opened();
  const before = host.analyse(MAIN);
  host.setFile(MAIN, text(30));
  const after = host.analyse(MAIN);
  const [old, now] = [before.plan.runs.get('ridge'), after.plan.runs.get('ridge')];
  if (old === undefined || now === undefined) throw new Error('the run is in both plans');
  const least = [before, after].map(
    ({ account, plan }) => account.runs.get(plan.runs.get('ridge') ?? old)?.least?.volts ?? 0,
  );
  // Ten times the cable takes more of the voltage.
  expect(least[1]).toBeLessThan((least[0] ?? 0) - 0.1);
  expect(after.account.runs.get(old)).toBeUndefined();
  expect(before.account.runs.get(now)).toBeUndefined();
});
