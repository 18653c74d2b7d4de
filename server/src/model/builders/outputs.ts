import type { BOARD } from '#grammar/words/boards.ts';
import { originOf } from '../binding.ts';
import type { Bound, Given, Measure, Reference } from '../bound.ts';
import type { Origin } from '../finding.ts';
import { fuseOhms } from '../fuses.ts';
import type { Board, Output, Supply } from '../plan.ts';
import type { Build } from './context.ts';

/** Outputs of supplies and of fused boards, and what refers to them. */

type OutputLine = Extract<Bound<typeof BOARD>['block'][number], { word: 'output' | 'outputs' }>;

/** Reads the lines of a block into `outputs`; other lines are passed over. */
export function addOutputs(
  build: Build,
  supply: Supply,
  board: Board | undefined,
  outputs: Map<number, Output>,
  block: readonly (OutputLine | { readonly word: 'set' })[],
): void {
  const add = (number: number, fuse: Output['fuse'], origin: Origin) => {
    const before = outputs.get(number);
    if (before === undefined) {
      outputs.set(number, { supply, board, number, fuse, origin });
      return;
    }
    build.report({
      code: 'duplicate-name',
      origin,
      message: `Output ${number} of ${(board ?? supply).name} is there twice; the first one holds.`,
      related: [{ origin: before.origin, message: 'The first one.' }],
    });
  };
  for (const line of block) {
    if (line.word === 'output') {
      const { number, fuse, ohms } = line.fields;
      if (number !== undefined) add(number.value, fuseOf(fuse, ohms), number.origin);
    } else if (line.word === 'outputs') {
      const { from, to, fuse } = line.fields;
      if (from === undefined || to === undefined) continue;
      if (to.value < from.value) reportBackward(build, from, to);
      const [first, last] = [Math.min(from.value, to.value), Math.max(from.value, to.value)];
      for (let number = first; number <= last; number++) add(number, fuseOf(fuse, undefined), line.keyword);
    }
  }
}

function fuseOf(fuse: Given<Measure> | undefined, ohms: Given<Measure> | undefined): Output['fuse'] {
  if (fuse === undefined) return undefined;
  return { amps: fuse.value.si, ohms: ohms?.value.si ?? fuseOhms(fuse.value.si), origin: fuse.origin };
}

function reportBackward(build: Build, from: Given<number>, to: Given<number>): void {
  build.report({
    code: 'impossible-value',
    // On a damaged line the last number may stand before the first.
    origin: originOf(from.origin, {
      start: Math.min(from.origin.start, to.origin.start),
      end: Math.max(from.origin.end, to.origin.end),
    }),
    message: `Outputs count upward: write outputs ${to.value} to ${from.value}.`,
    fixes: [
      {
        title: `Write ${to.value} to ${from.value}`,
        edits: [
          { origin: from.origin, text: String(to.value) },
          { origin: to.origin, text: String(from.value) },
        ],
        preferred: true,
      },
    ],
  });
}

/** The output that `psu-a.2` or `left.3` names; a supply or board without a number is its only output. */
export function outputOf(build: Build, given: Given<Reference> | undefined): Output | undefined {
  if (given === undefined) return undefined;
  // A board that could not be built has been reported.
  if (build.unbuilt.has(given.value.name)) return undefined;
  const names = build.boards.map.has(given.value.name) ? build.boards : build.supplies;
  const owner: Supply | Board | undefined = names.refer(given);
  if (owner === undefined) return undefined;
  const step = given.value.steps[0];
  const some = [...owner.outputs.keys()];
  if (step === undefined) {
    const only = [...owner.outputs.values()];
    if (only.length === 1 && only[0] !== undefined) return only[0];
    build.report({
      code: 'unknown-name',
      origin: given.origin,
      message:
        some.length === 0
          ? `${owner.name} has no output yet. Write in its block: output 1  fuse 5 A`
          : `Which output of ${owner.name}? Write one of: ${some.map((n) => `${owner.name}.${n}`).join(', ')}.`,
    });
    return undefined;
  }
  const number = step.kind === 'member' ? Number(step.name) : Number.NaN;
  const output = owner.outputs.get(number);
  if (output === undefined || given.value.steps.length > 1) {
    build.report({
      code: 'unknown-name',
      origin: given.origin,
      message: `${owner.name} has no output "${step.kind === 'member' ? step.name : '?'}". ${some.length === 0 ? 'Write in its block: output 1  fuse 5 A' : `It has: ${some.join(', ')}.`}`,
      related: [{ origin: owner.origin, message: `${owner.name} stands here.` }],
    });
    return undefined;
  }
  build.uses.push({
    origin: originOf(given.origin, { start: step.span.start + 1, end: step.span.end }),
    target: output.origin,
  });
  return output;
}
