import type { Kind } from '#grammar/words/entry.ts';
import type { Analysis } from '../../analysis/analysis.ts';
import { sizeText, unitOfRun } from '../../model/fixtures.ts';
import { outputsOf, outputText } from '../../model/outputs.ts';
import type { Controller, Output, Plan, Run, StringPiece } from '../../model/plan.ts';
import { amps, volts } from '../../model/texts.ts';
import { outputUse } from '../cards/power-cards.ts';
import { namedOfKind } from '../names.ts';

/** A name that may stand somewhere, with what a person wants to know when choosing. */
export interface NameChoice {
  readonly text: string;
  readonly kind: Kind;
  readonly detail: string;
  /** Free outputs and ports come before used ones. */
  readonly used: boolean;
}

const MOST_PORTS = 64;
const MOST_STRANDS = 40;

/** Names of the plan that may stand where one of some kinds is due. `typed` decides how far runs are taken apart. */
export function namesOfKinds(analysis: Analysis, kinds: readonly Kind[], typed: string): NameChoice[] {
  return kinds.flatMap((kind) => namesOfKind(analysis, kind, typed));
}

function namesOfKind(analysis: Analysis, kind: Kind, typed: string): NameChoice[] {
  const { plan } = analysis;
  switch (kind) {
    case 'output':
      return outputs(analysis);
    case 'port':
      return [...plan.controllers.values()].flatMap((controller) => ports(plan, controller));
    case 'tap':
      return [...plan.runs.values()].flatMap((run) => taps(analysis, run, typed));
    default: {
      return [...namedOfKind(plan, kind).values()].map((thing) => ({
        text: thing.name,
        kind,
        detail: thing.label ?? '',
        used: false,
      }));
    }
  }
}

function outputs(analysis: Analysis): NameChoice[] {
  return outputsOf(analysis.plan).map((output): NameChoice => {
    const use = outputUse(analysis, output);
    const detail = `${use}${spare(analysis, output)}`;
    return { text: outputText(output), kind: 'output', detail, used: !use.startsWith('free') };
  });
}

/** What its fuse leaves for more, up to the share of it that is planned for. */
function spare({ plan, account }: Analysis, output: Output): string {
  if (output.fuse === undefined) return '';
  const left = output.fuse.amps * plan.design.fuseShare.value - (account.outputs.get(output) ?? 0);
  return left > 0 ? `, ${amps(left)} to spare` : ', nothing to spare';
}

function ports(plan: Plan, controller: Controller): NameChoice[] {
  const choices: NameChoice[] = [];
  for (let port = 1; port <= Math.min(controller.part?.ports ?? 1, MOST_PORTS); port++) {
    const run = [...plan.runs.values()].find(
      (candidate) => candidate.controller === controller && candidate.port === port,
    );
    const detail = run === undefined ? 'free' : `drives ${run.name}, ${sizeText(run)}`;
    choices.push({ text: `${controller.name}.${port}`, kind: 'port', detail, used: run !== undefined });
  }
  return choices;
}

/** A run by itself; once its name and a dot or bracket are there, the joints on it. */
function taps(analysis: Analysis, run: Run, typed: string): NameChoice[] {
  const choice = (text: string, detail: string): NameChoice => ({ text, kind: 'tap', detail, used: false });
  const inside = typed.startsWith(`${run.name}.`) || typed.startsWith(`${run.name}[`);
  if (!inside)
    return [
      choice(run.name, run.label ?? `${sizeText(run)}; the joint before the first`),
      choice(`${run.name}.end`, 'the end of the run'),
    ];
  const least = analysis.account.runs.get(run)?.least;
  return [
    ...(least === undefined ? [] : [choice(`${run.name}[${least.pixel}]`, `least voltage, ${volts(least.volts)}`)]),
    choice(`${run.name}.end`, `behind ${unitOfRun(run)} ${run.pixelCount}`),
    choice(`${run.name}.start`, `before ${unitOfRun(run)} 1`),
    ...elementTaps(run).map(({ text, first }) => choice(text, `before ${unitOfRun(run)} ${first}`)),
  ];
}

function elementTaps(run: Run): { text: string; first: number }[] {
  const found = new Map<string, number>();
  const strings = run.pieces.filter((piece): piece is StringPiece => piece.kind === 'string');
  for (const piece of strings) {
    const { copies, element } = piece;
    const name = copies?.name ?? element;
    if (name === undefined) continue;
    const number = copies?.number ?? (piece.line.strands > 1 ? piece.strand : undefined);
    const text = `${run.name}.${name}`;
    if (!found.has(text)) found.set(text, piece.first);
    if (number !== undefined && number <= MOST_STRANDS && !found.has(`${text}(${number})`))
      found.set(`${text}(${number})`, piece.first);
  }
  return [...found].map(([text, first]) => ({ text, first }));
}
