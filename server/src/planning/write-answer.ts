import { sure } from '#grammar/sure.ts';
import type { Edit } from '../model/finding.ts';
import type { Feed, Plan, Run } from '../model/plan.ts';
import { metres } from '../model/texts.ts';
import { type Choice, cableLengths } from './choice.ts';
import type { PlannedOutput } from './outputs.ts';
import { taps } from './reach.ts';
import type { Spot } from './spots.ts';
import { behind, outputEdits } from './write-outputs.ts';

/** Feeds as lines of the plan: below the last feed of the run, or below the run; outputs in the block of the supply or board. */
export function editsOf(
  plan: Plan,
  run: Run,
  choice: Choice,
  spots: readonly Spot[],
  outputs: readonly PlannedOutput[],
): Edit[] {
  const lengths = cableLengths(choice, spots).map((length) => metres(length, plan.design.units));
  const along = choice.way === undefined ? '' : `  along ${choice.way.places.map((place) => place.name).join(' to ')}`;
  const cable = `${choice.cable.name}${choice.parallel > 1 ? ` x ${choice.parallel}` : ''}`;
  const taken = new Set(plan.feeds.keys());
  const from = (index: number) => `${choice.owner.name}.${sure(outputs[index]).number}`;
  let text = '';
  if (choice.trunk) {
    const lines = spots.map(
      ({ text: tap }, index) => `\n  cable ${lengths[index]}  of ${cable}${index === 0 ? along : ''}\n  tap   ${tap}`,
    );
    text = `\nfeed ${freeName(`${run.name}-trunk`, taken)}  from ${from(0)} {${lines.join('')}\n}`;
  } else {
    for (const [index, spot] of spots.entries())
      text += `\nfeed ${freeName(nameFor(run, spot), taken)}  from ${from(index)}  to ${spot.text}  ${lengths[index]}  of ${cable}${along}`;
  }
  const edits: Edit[] = [{ origin: behind(lastFeedOf(plan, run)?.whole ?? run.whole), text }];
  const given = outputs.flatMap(({ number, fuse }) => (fuse === undefined ? [] : [{ number, fuse }]));
  return [...edits, ...outputEdits(choice.owner, given)];
}

/** "eaves-end", "eaves-gable", "eaves-116": the run and where the feed joins it. */
function nameFor(run: Run, { text }: Spot): string {
  return `${run.name}-${text
    .slice(run.name.length)
    .replace(/[^A-Za-z0-9]+/g, '-')
    .replace(/^-+|-+$/g, '')}`;
}

/** The name itself or with a number behind it, and from now on taken. */
export function freeName(name: string, taken: Set<string>): string {
  let free = name;
  for (let number = 2; taken.has(free); number++) free = `${name}-${number}`;
  taken.add(free);
  return free;
}

function lastFeedOf(plan: Plan, run: Run): Feed | undefined {
  return [...plan.feeds.values()].findLast((feed) => taps(feed, run) && feed.whole.uri === run.whole.uri);
}
