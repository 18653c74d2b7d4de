import type { Edit } from '../model/finding.ts';
import type { Plan, Run } from '../model/plan.ts';
import { type Choice, type Cost, cableLengths, compareCosts, costOf } from './choice.ts';
import type { PlannedOutput } from './outputs.ts';
import type { Spot } from './spots.ts';
import type { Outcome } from './trial.ts';
import { editsOf } from './write-answer.ts';

/** Feeds for one run that leave it sound and nothing else worse. */
export interface Answer {
  readonly choice: Choice;
  readonly spots: readonly Spot[];
  readonly outputs: readonly PlannedOutput[];
  readonly cost: Cost;
  /** m of cable. */
  readonly metres: number;
  /** Least voltage of the run afterwards, nominal, V. */
  readonly least: number;
  /** A that the supply gives more than before. */
  readonly drawn: number;
  readonly edits: readonly Edit[];
  /** Built tap by tap where the search came to no end: there may be one that costs less. */
  readonly isBuilt: boolean;
  /** It was tried on the plan as a whole, not only on the network of the run. */
  readonly isSeen: boolean;
}

/** What was found, before it is written. */
export interface Found extends Pick<Answer, 'choice' | 'spots' | 'isBuilt'> {
  readonly outcome: Outcome;
}

export function answerOf(plan: Plan, run: Run, { choice, spots, outcome, isBuilt }: Found, isSeen: boolean): Answer {
  const edits = editsOf(plan, run, choice, spots, outcome.outputs);
  const metres = cableLengths(choice, spots).reduce((sum, length) => sum + length, 0);
  return { choice, spots, cost: costOf(choice, spots), metres, edits, isBuilt, isSeen, ...outcome };
}

/** Answers of one kind differ in the thickness of the cable only: the cheapest stands for all. */
function kindOf(choice: Choice, taps: number): string {
  return `${choice.owner.name} ${choice.trunk && taps > 1} ${taps}`;
}

/** Whether an answer of that kind is known that costs no more. */
export function isOfferedCheaper(answers: readonly Answer[], choice: Choice, cost: Cost): boolean {
  const kind = kindOf(choice, cost.taps);
  return answers.some(
    (answer) => kindOf(answer.choice, answer.cost.taps) === kind && compareCosts(answer.cost, cost) <= 0,
  );
}

/** Keeps the answers sorted, the best first, with one of each kind. */
export function addByKind(answers: Answer[], answer: Answer): void {
  const kind = kindOf(answer.choice, answer.cost.taps);
  const order = (a: Answer, b: Answer) => compareCosts(a.cost, b.cost) || b.least - a.least;
  const index = answers.findIndex((other) => kindOf(other.choice, other.cost.taps) === kind);
  const other = answers[index];
  if (other === undefined) answers.push(answer);
  else if (order(answer, other) < 0) answers[index] = answer;
  answers.sort(order);
}

/** Neither better than the best nor, with two taps more, an alternative that a person would want. */
export function isBeside(first: Answer | undefined, count: number, cost: Cost): boolean {
  return first !== undefined && count > first.cost.taps + 1 && compareCosts(first.cost, cost) <= 0;
}
