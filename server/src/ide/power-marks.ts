import type { Analysis } from '../analysis/analysis.ts';
import type { Finding } from '../model/finding.ts';
import { outputsOf, outputText } from '../model/outputs.ts';
import type { Board, Controller, Feed, Output, Run, Supply } from '../model/plan.ts';

type Thing = Supply | Output | Board | Controller | Feed | Run;

/** Which findings mark which thing: one that stands on its lines, or that names it. */
export interface Marks {
  readonly of: (thing: Thing) => readonly Finding[];
}

export function marksOf({ plan, findings }: Analysis): Marks {
  const things = [plan.runs, plan.feeds, plan.supplies, plan.boards, plan.controllers].flatMap((map) => [
    ...map.values(),
  ]);
  const byDeclaration = new Map<unknown, Thing>(things.map((thing) => [thing.origin.declaration, thing]));
  // A name may be that of a run and of a feed: the run comes first.
  const byName = new Map<string, Thing>([...things].reverse().map((thing) => [thing.name, thing]));
  for (const output of outputsOf(plan)) byName.set(outputText(output), output);
  const marks = new Map<Thing, Finding[]>();
  for (const finding of findings) {
    const named = finding.subject === undefined ? undefined : byName.get(finding.subject);
    const there = byDeclaration.get(finding.origin.declaration);
    for (const thing of thingsOf(named, there, finding.subject)) {
      const list = marks.get(thing);
      if (list === undefined) marks.set(thing, [finding]);
      else list.push(finding);
    }
  }
  return { of: (thing) => marks.get(thing) ?? [] };
}

/** On the lines of a thing of that name there is no other that it could mean; an output stands on those of its supply. */
function thingsOf(named: Thing | undefined, there: Thing | undefined, subject: string | undefined): Thing[] {
  if (there !== undefined && 'name' in there && there.name === subject) return [there];
  if (named !== undefined && 'number' in named) return [named];
  return [...new Set([there, named])].filter((thing) => thing !== undefined);
}
