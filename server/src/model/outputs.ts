import type { Board, Controller, Feed, Output, Plan, Supply } from './plan.ts';

/** What goes for an output of a supply and of a fused board alike. */

/** As a plan calls it: "psu-a.2", "left.3". */
export function outputText(output: Output): string {
  return `${ownerOf(output).name}.${output.number}`;
}

/** The fused board that the output is on, or else the supply. */
export function ownerOf(output: Output): Supply | Board {
  return output.board ?? output.supply;
}

/** Every output of a plan, supplies first. */
export function outputsOf(plan: Owners): Output[] {
  return [...plan.supplies.values(), ...plan.boards.values()].flatMap((owner) => [...owner.outputs.values()]);
}

/** The output with the fuse that protects what hangs on an output: its own, or the nearest on the way to the supply. */
export function protectedBy(output: Output): FusedOutput | undefined {
  for (let at: Output | undefined = output; at !== undefined; at = at.board?.from) if (isFused(at)) return at;
  return undefined;
}

type FusedOutput = Output & { readonly fuse: NonNullable<Output['fuse']> };

const isFused = (output: Output): output is FusedOutput => output.fuse !== undefined;

/** Controllers, receivers, boards and feeds that start at an output. */
export function usersOf(
  plan: Pick<Plan, 'controllers' | 'boards' | 'feeds'>,
  output: Output,
): (Controller | Board | Feed)[] {
  return [...plan.controllers.values(), ...plan.boards.values(), ...plan.feeds.values()].filter(
    (user) => user.from === output,
  );
}

interface Owners {
  readonly supplies: { readonly values: () => Iterable<Supply> };
  readonly boards: { readonly values: () => Iterable<Board> };
}
