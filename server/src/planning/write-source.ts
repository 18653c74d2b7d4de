import { lineStart } from '#grammar/line-start.ts';
import { sure } from '#grammar/sure.ts';
import type { Edit } from '../model/finding.ts';
import { FUSE_RATINGS } from '../model/fuses.ts';
import { usersOf } from '../model/outputs.ts';
import type { Place, Plan, Run, SupplyPart } from '../model/plan.ts';
import { metres, rating } from '../model/texts.ts';
import type { Choice } from './choice.ts';
import { fuseRange, outputsFor } from './outputs.ts';
import { freeName } from './write-answer.ts';
import { behind, outputEdits } from './write-outputs.ts';

/** A statement that is put into a plan. */
export interface Written {
  readonly name: string;
  readonly edits: readonly Edit[];
}

/** Outputs that a planned board has to choose from; those that nothing starts at are taken away in the end. */
const OUTPUTS = 16;

/** A board at a place, on the output of the supply or board that its trunk starts at, with the largest fuse that protects the trunk. */
export function boardEdits(plan: Plan, choice: Choice, place: Place, length: number): Written | undefined {
  const { cable, parallel, way } = choice;
  const owner = plan.supplies.get(choice.owner.name) ?? plan.boards.get(choice.owner.name);
  const most = fuseRange(cable, parallel)?.most;
  const [output] = owner && most !== undefined ? (outputsFor(plan, owner, [0], most, true) ?? []) : [];
  if (owner === undefined || output === undefined) return undefined;
  const name = freeName(`${place.name}-board`, namesOf(plan));
  const of = `${cable.name}${parallel > 1 ? ` x ${parallel}` : ''}`;
  const along = way === undefined ? '' : `  along ${way.places.map((each) => each.name).join(' to ')}`;
  const least = rating(sure(FUSE_RATINGS[0]));
  const outputs = Array.from({ length: OUTPUTS }, (_, index) => `  output  ${index + 1}  fuse ${least}\n`).join('');
  const head = `board ${name}  at ${place.name}  from ${owner.name}.${output.number}  ${metres(length, plan.design.units)}  of ${of}${along}`;
  const given = output.fuse === undefined ? [] : [{ number: output.number, fuse: output.fuse }];
  return {
    name,
    edits: [...outputEdits(owner, given), { origin: behind(owner.whole), text: `\n\n${head} {\n${outputs}}` }],
  };
}

/** What a planned supply is. */
export interface PlannedSupply {
  readonly part: SupplyPart;
  readonly place: Place | undefined;
  /** V */
  readonly set: number;
}

/** A supply behind those of the plan, on the circuit of its place where there is one, and other edits that go with it. */
export function supplyEdits(
  plan: Plan,
  run: Run,
  { part, place, set }: PlannedSupply,
  more: readonly Edit[],
): Written | undefined {
  const last = [...plan.supplies.values()].findLast(({ whole }) => whole.uri === run.whole.uri);
  const name = freeName(`${place?.name ?? run.name}-psu`, namesOf(plan));
  const circuit = [...plan.circuits.values()].find((each) => place !== undefined && each.place === place);
  const at = place === undefined ? '' : `  at ${place.name}`;
  const on = circuit === undefined ? '' : `  on ${circuit.name}`;
  const volts = set === part.volts ? '' : ` {\n  set     ${Number(set.toFixed(3))} V\n}`;
  const text = `supply ${name}  of ${part.name}${at}${on}${volts}`;
  const edit: Edit =
    last === undefined
      ? { origin: { ...run.whole, end: run.whole.start }, text: `${text}\n\n` }
      : { origin: behind(last.whole), text: `\n\n${text}` };
  return { name, edits: [edit, ...more] };
}

/** Takes the outputs of a board away that nothing starts at; undefined where none would be left. */
export function tidied(plan: Plan, name: string): readonly Edit[] | undefined {
  const outputs = [...sure(plan.boards.get(name)).outputs.values()];
  const idle = outputs.filter((output) => usersOf(plan, output).length === 0);
  if (idle.length === outputs.length) return undefined;
  return idle.map(({ origin }) => {
    const { text } = origin.declaration;
    const end = text.indexOf('\n', origin.end);
    return { origin: { ...origin, start: lineStart(text, origin.start), end: end + 1 }, text: '' };
  });
}

function namesOf(plan: Plan): Set<string> {
  const { places, pixels, panels, floods, cables, connectors, supplyParts, controllerParts, receiverParts } = plan;
  const { circuits, masts, supplies, boards, controllers, props, runs, feeds, bonds } = plan;
  const parts = [pixels, panels, floods, cables, connectors, supplyParts, controllerParts, receiverParts];
  const things = [places, circuits, masts, supplies, boards, controllers, props, runs, feeds, bonds];
  return new Set([...parts, ...things].flatMap((named) => [...named.keys()]));
}
