import { type Analysis, levelOf } from '../analysis/analysis.ts';
import type { Finding, Level } from '../model/finding.ts';
import { groupBy } from '../model/group-by.ts';
import { outputText, ownerOf, usersByOutput } from '../model/outputs.ts';
import type { Board, Controller, Feed, Output, Run, Supply } from '../model/plan.ts';
import { count, watts } from '../model/texts.ts';
import { outputUse } from './cards/power-cards.ts';
import {
  boardText,
  feedText,
  freeText,
  joined,
  listed,
  pixelsOfAll,
  runText,
  spareText,
  supplyText,
  wattsOf,
} from './figures.ts';
import { type FileSpan, spanOf } from './file-span.ts';
import { type Marks, marksOf } from './power-marks.ts';

/**
 * The power of a plan at a glance: each supply with its load and what is left of it, below it its outputs and what hangs
 * on them; and the runs, each with its least voltage. Figures are those of hints, lenses and hovers, marks the findings.
 */
export interface PowerNode {
  /** Its kind and name, an output's with the kind of what it is on: the same after an edit of anything else. */
  readonly id: string;
  readonly kind: 'supplies' | 'runs' | 'supply' | 'output' | 'board' | 'controller' | 'feed' | 'run';
  readonly label: string;
  /** The codes of what is wrong, and its figures. */
  readonly description: string;
  /** The same said aloud, with what the mark means. */
  readonly spoken: string;
  /** The worst of its own findings and those below it. */
  readonly level: Level | undefined;
  /** What is wrong with it, in full. */
  readonly messages: readonly string[];
  /** The word of the plan that it stands for; absent for a heading. */
  readonly at: FileSpan | undefined;
  readonly children: readonly PowerNode[];
}

type Thing = Supply | Output | Board | Controller | Feed | Run;

/** Supplies and runs under a heading each, marked ones first; nothing for a plan that has neither. */
export function powerTreeOf(analysis: Analysis): PowerNode[] {
  const { plan, account } = analysis;
  const tree = new Tree(analysis);
  const power = wattsOf(account);
  const supplies = [...plan.supplies.values()].map((supply) => tree.supply(supply));
  const runs = [...plan.runs.values()].map((run) => tree.run(run));
  return [
    heading('supplies', 'Supplies', power === undefined ? '' : watts(power), supplies),
    heading('runs', 'Runs', count(pixelsOfAll(plan), 'pixel'), runs),
  ].filter(({ children }) => children.length > 0);
}

function heading(kind: 'supplies' | 'runs', label: string, figure: string, things: readonly Ranked[]): PowerNode {
  const children = [...things].sort((a, b) => b.rank - a.rank || b.excess - a.excess).map(({ node }) => node);
  const description = joined(belowText(things), figure);
  return {
    id: kind,
    kind,
    label,
    description,
    spoken: `${label}: ${description}`,
    level: worst(children.map(({ level }) => level)),
    messages: [],
    at: undefined,
    children,
  };
}

/** A node and how much it is in need of help: the rank of its mark, and how far its own measure is beyond its limit. */
interface Ranked {
  readonly node: PowerNode;
  readonly rank: number;
  readonly excess: number;
  /** Its own findings and those below it. */
  readonly findings: ReadonlySet<Finding>;
}

class Tree {
  private readonly analysis: Analysis;
  private readonly marks: Marks;
  private readonly usersOf: ReturnType<typeof usersByOutput>;
  private readonly runsOf: ReadonlyMap<Controller | undefined, readonly Run[]>;

  constructor(analysis: Analysis) {
    this.analysis = analysis;
    this.marks = marksOf(analysis);
    this.usersOf = usersByOutput(analysis.plan);
    this.runsOf = groupBy(analysis.plan.runs.values(), ({ controller }) => controller);
  }

  supply(supply: Supply): Ranked {
    const { analysis } = this;
    const load = analysis.account.supplies.get(supply);
    const power = load === undefined ? undefined : watts(load.watts);
    const below = [...supply.outputs.values()].map((output) => this.output(output));
    const more = [spareText(analysis, supply), power, freeText(supply, this.usersOf)];
    return this.node(supply, supply.name, [supplyText(analysis, supply), ...more], below);
  }

  run(run: Run): Ranked {
    return this.node(run, run.name, [runText(this.analysis, run)], []);
  }

  private output(output: Output): Ranked {
    const users = this.usersOf(output);
    const below = users.map((user) => this.user(user));
    return this.node(output, outputText(output), [outputUse(this.analysis, output, users)], below);
  }

  private user(user: Controller | Board | Feed): Ranked {
    const { analysis } = this;
    if (user.kind === 'board') {
      const below = [...user.outputs.values()].map((output) => this.output(output));
      return this.node(user, user.name, [boardText(analysis, user)], below);
    }
    const figures =
      user.kind === 'feed'
        ? [feedText(analysis, user), `feeds ${namesOf(tappedBy(user))}`]
        : [`drives ${namesOf(this.runsOf.get(user) ?? [])}`];
    return this.node(user, user.name, figures, []);
  }

  private node(
    thing: Thing,
    name: string,
    [figure = 'not computed', ...more]: readonly (string | undefined)[],
    below: readonly Ranked[],
  ): Ranked {
    const [kind, label] = 'kind' in thing ? [thing.kind, name] : (['output', `output ${thing.number}`] as const);
    // A board that has the name of a supply by mistake has outputs of the same names too.
    const owner = 'kind' in thing ? thing : ownerOf(thing);
    const own = this.marks.of(thing);
    const level = worst([...own.map(levelOf), ...below.map(({ node }) => node.level)]);
    // What is wrong first: the end is cut off where the view is narrow, and pointing at the row shows all of it.
    const codes = [...new Set(own.map(({ code }) => code))].join(', ');
    const [wrong, ...less] = [codes, belowText(below)].filter((text) => text !== '');
    const description = joined(wrong, figure, ...less, ...more);
    return {
      node: {
        id: `${owner.kind} ${name}`,
        kind,
        label,
        description,
        spoken: `${kind === 'output' ? '' : `${kind} `}${label}: ${level === undefined ? '' : `${level}, `}${description.replaceAll(' · ', ', ')}`,
        level,
        messages: own.map(({ message }) => message),
        at: spanOf(this.analysis, thing.origin),
        children: below.map(({ node }) => node),
      },
      rank: rankOf(level),
      excess: Math.max(0, ...own.map(({ code, excess = 0 }) => (MEASURES.has(code) ? excess : 0))),
      findings: new Set([...own, ...below.flatMap(({ findings }) => [...findings])]),
    };
  }
}

const tappedBy = ({ pieces }: Feed): Run[] => pieces.flatMap((piece) => (piece.kind === 'tap' ? [piece.tap.run] : []));

function namesOf(runs: readonly Run[]): string {
  const names = [...new Set(runs)].map(({ name }) => name);
  return names.length === 0 ? 'nothing yet' : listed(names);
}

/** What supplies and runs are ranked by beside their marks; its excess is a share of the limit. */
const MEASURES: ReadonlySet<string> = new Set(['supply-overloaded', 'low-voltage']);

/** "2 findings below", each counted once. */
function belowText(things: readonly Ranked[]): string {
  const findings = new Set(things.flatMap((thing) => [...thing.findings]));
  return findings.size === 0 ? '' : `${count(findings.size, 'finding')} below`;
}

const RANKS: readonly (Level | undefined)[] = [undefined, 'information', 'warning', 'error'];
const rankOf = (level: Level | undefined): number => RANKS.indexOf(level);

function worst(levels: readonly (Level | undefined)[]): Level | undefined {
  return RANKS[Math.max(0, ...levels.map(rankOf))];
}
