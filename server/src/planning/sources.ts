import { sure } from '#grammar/sure.ts';
import { roundedUp } from '../model/cut-lengths.ts';
import type { Place, Plan, Run } from '../model/plan.ts';
import type { Bench } from './bench.ts';
import { type Choice, choicesFor, mostCables } from './choice.ts';
import { type DisplayCost, NOTHING } from './display-cost.ts';
import { fuseRange } from './outputs.ts';
import { cablesFor, ownersFor, passing } from './reach.ts';
import { boardEdits, type Written } from './write-source.ts';

/** Something that is put where runs are, so that feeds can start there: a board on a trunk, or another supply. */
export interface Source {
  readonly place: Place | undefined;
  readonly cost: DisplayCost;
  /** The statement for a plan as it then stands; undefined where it has no place there. */
  readonly write: (plan: Plan) => Written | undefined;
}

/** A fused board at the end of one trunk cable. */
export interface Trunk extends Source {
  readonly choice: Choice;
}

/** Trunks from supplies and boards to the places of some runs, where feeds would take limited routes. */
export function trunksTo(plan: Plan, runs: readonly Run[]): Trunk[] {
  const cables = cablesFor(plan);
  const found = new Map<string, Trunk>();
  for (const run of runs) {
    const { place } = run;
    if (place === undefined) continue;
    for (const owner of ownersFor(plan, run)) {
      for (const choice of choicesFor(plan, run, owner, cables, (route) => passing(plan, route))) {
        const key = [place.name, owner.name, choice.cable.name, choice.parallel].join(' ');
        if (choice.trunk || choice.limited === 0 || mostCables(choice) < 1 || found.has(key)) continue;
        const length = roundedUp(choice.reach, choice.step);
        found.set(key, {
          place,
          choice,
          cost: {
            ...NOTHING,
            limitedCables: choice.limited * choice.parallel,
            taps: 1,
            material: length * choice.parallel * choice.ofMetre,
          },
          write: (then) => boardEdits(then, choice, place, length),
        });
      }
    }
  }
  return [...found.values()];
}

/** Whether two trunks differ in nothing but the cable. */
export function areAlike({ place, choice }: Trunk, other: Trunk): boolean {
  return place === other.place && choice.owner === other.choice.owner && choice.parallel === other.choice.parallel;
}

/** Trunks than which no alike one resists less and takes as large a fuse: what one of these cannot do, none can. */
export function strongestTrunks(trunks: readonly Trunk[]): Trunk[] {
  const ohms = ({ choice }: Trunk) => choice.cable.conductor.ohmsPerMetre;
  const fuse = ({ choice }: Trunk) => sure(fuseRange(choice.cable, choice.parallel)).most;
  const beats = (a: Trunk, b: Trunk) =>
    ohms(a) <= ohms(b) && fuse(a) >= fuse(b) && (ohms(a) < ohms(b) || fuse(a) > fuse(b));
  return trunks.filter((trunk) => !trunks.some((other) => areAlike(other, trunk) && beats(other, trunk)));
}

/** The bench with some sources on it, and their names; undefined where one finds no place. */
export function withSources(
  start: Bench,
  sources: readonly Source[],
): { readonly bench: Bench; readonly names: readonly string[] } | undefined {
  let bench = start;
  const names: string[] = [];
  for (const source of sources) {
    const written = source.write(bench.ctx.plan);
    if (written === undefined) return undefined;
    bench = bench.after(written.edits);
    names.push(written.name);
  }
  return { bench, names };
}
