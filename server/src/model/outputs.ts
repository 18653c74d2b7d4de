import { groupBy } from './group-by.ts';
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

/** What may start at an output. */
type User = Controller | Board | Feed;
type Users = Pick<Plan, 'controllers' | 'boards' | 'feeds'>;

/** Controllers, receivers, boards and feeds that start at an output. */
export function usersOf(plan: Users, output: Output): User[] {
  return allUsers(plan).filter((user) => user.from === output);
}

/** The same for whoever asks about all outputs of a plan: it is gone through once. */
export function usersByOutput(plan: Users): (output: Output) => readonly User[] {
  const users = groupBy(allUsers(plan), ({ from }): Output | undefined => from);
  return (output) => users.get(output) ?? [];
}

function allUsers({ controllers, boards, feeds }: Users): User[] {
  return [...controllers.values(), ...boards.values(), ...feeds.values()];
}

interface Owners {
  readonly supplies: { readonly values: () => Iterable<Supply> };
  readonly boards: { readonly values: () => Iterable<Board> };
}
