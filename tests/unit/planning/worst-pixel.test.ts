import { expect, it } from 'vitest';
import { applyEdits } from '#server/analysis/host.ts';
import { pixelsOf } from '#server/model/account.ts';
import { choicesFor } from '#server/planning/choice.ts';
import { fuseRange } from '#server/planning/outputs.ts';
import { cablesFor, ownersFor, passing } from '#server/planning/reach.ts';
import { spotsOf } from '#server/planning/spots.ts';
import { Trial } from '#server/planning/trial.ts';
import { editsOf } from '#server/planning/write-answer.ts';
import { longRunPlan } from '../../support/long-run-plan.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';

/** The pixel that a trial calls the worst is the one with the least volts in the plan with the feeds written into it. */

const { analysis, host } = analysePlan(longRunPlan({ strings: 6, brightness: 100, rated: 80, supplies: 1 }));
const { plan } = analysis;
const run = plan.runs.get('long');
const [owner] = run === undefined ? [] : ownersFor(plan, run);
const file = host.fileOf(MAIN);
if (run === undefined || owner?.kind !== 'supply' || file === undefined) throw new Error('the plan is not whole');
const spots = spotsOf(plan, run, false);
const trial = new Trial(plan, run, owner, spots);
const choices = choicesFor(plan, run, owner, cablesFor(plan), (route) => passing(plan, route));

it.each([
  ['near the start', [0, 1]],
  ['near the end', [5, 6]],
  ['at both ends', [0, 6]],
  ['in the middle', [3]],
  ['everywhere but at the end', [0, 1, 2, 3, 4]],
])('with feeds %s', (_, at) => {
  const taken = at.flatMap((index) => spots[index] ?? []);
  for (const choice of choices) {
    const fuse = fuseRange(choice.cable, choice.parallel)?.most;
    const outputs = (choice.trunk ? taken.slice(0, 1) : taken).map((_, index) => ({ number: index + 2, fuse }));
    const fed = analysePlan(applyEdits(file, editsOf(plan, run, choice, taken, outputs))).analysis;
    const account = [...fed.account.runs.values()].find((each) => each.run.name === 'long');
    if (account === undefined) throw new Error('the run has no account');
    const { volts } = pixelsOf(account);
    const worst = trial.worstPixel(choice, taken);
    expect(volts[(worst ?? 0) - 1]).toBeCloseTo(Math.min(...volts), 9);
  }
});
