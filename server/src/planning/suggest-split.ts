import { lineStart } from '#grammar/line-start.ts';
import { sure } from '#grammar/sure.ts';
import type { SuggestContext } from '../checks/check.ts';
import { cableStep, roundedUp } from '../model/cut-lengths.ts';
import type { Finding, Fix, Origin } from '../model/finding.ts';
import { unitOfRun } from '../model/fixtures.ts';
import type { Plan, Run } from '../model/plan.ts';
import { RunGeometry, wayFromStart } from '../model/run-geometry.ts';
import type { Steps } from '../model/steps.ts';
import { metres } from '../model/texts.ts';
import { closes } from './holds.ts';

/**
 * Suggests to split a run that is too long for its port: what lies behind a joint becomes a run of its own on a free
 * port, with a lead of the same cable that is longer by the way to the joint. Of all joints that close the finding the one
 * that halves the run best is offered.
 */
export function* suggestSplit(ctx: SuggestContext, finding: Finding): Steps<readonly Fix[]> {
  const run = sure(ctx.plan.runs.get(sure(finding.subject)));
  const port = freePort(ctx.plan, run);
  if (port === undefined || unitOfRun(run) !== 'pixel') return [];
  const controller = sure(run.controller).name;
  const half = run.pixelCount / 2;
  const joints = linesOf(run).sort((a, b) => Math.abs(a.before - half) - Math.abs(b.before - half));
  for (const joint of joints.slice(0, 8)) {
    const name = freeName(ctx.plan, run.name);
    const place = run.place === undefined ? '' : `  at ${run.place.name}`;
    const text = `}\n\nrun ${name}  from ${controller}.${port}${place} {\n${leadFor(ctx.plan, run, joint.way)}`;
    const edits = [{ origin: joint.origin, text }];
    yield;
    if (closes(ctx, finding, edits) === undefined) continue;
    return [
      {
        title: `Split ${run.name} at ${joint.text}: ${joint.before} px stay, ${run.pixelCount - joint.before} px go to ${controller}.${port}`,
        edits,
        preferred: true,
      },
    ];
  }
  return [];
}

function leadFor(plan: Plan, run: Run, far: number): string {
  const lead = run.pieces.find((piece) => piece.kind === 'lead');
  if (lead?.kind !== 'lead') return '';
  const way = lead.path.length === 0 ? '' : `  along ${lead.path.map((place) => place.name).join(' to ')}`;
  const length = roundedUp(lead.length + far, cableStep(plan.design));
  // As wide as the plan writes it.
  const blanks =
    /^[ \t]*lead([ \t]+)/m.exec(run.whole.declaration.text.slice(run.whole.start, run.whole.end))?.[1] ?? ' ';
  return `  lead${blanks}${metres(length, plan.design.units)}  of ${lead.cable.name}${way}\n`;
}

function freePort(plan: Plan, run: Run): number | undefined {
  const ports = run.controller?.part?.ports ?? 0;
  const used = new Set(
    [...plan.runs.values()].flatMap((other) => (other.controller === run.controller ? [other.port] : [])),
  );
  for (let port = 1; port <= ports; port++) if (!used.has(port)) return port;
  return undefined;
}

function freeName(plan: Plan, base: string): string {
  for (let number = 2; ; number++) if (!plan.runs.has(`${base}-${number}`)) return `${base}-${number}`;
}

/** Lines of the run's own block that hold pixels, but for the first: where they start, and what lies before. */
function linesOf(run: Run): { origin: Origin; before: number; way: number; text: string }[] {
  const lines: { origin: Origin; before: number; way: number; text: string }[] = [];
  const seen = new Set<number>();
  const geometry = new RunGeometry(run);
  for (const piece of run.pieces) {
    if (piece.kind !== 'string') continue;
    const { declaration } = piece.origin;
    if (declaration === run.origin.declaration) {
      const start = lineStart(declaration.text, piece.origin.start);
      if (!seen.has(start) && piece.first > 1) {
        const text = piece.copies?.name ?? piece.element ?? `pixel ${piece.first}`;
        const way = wayFromStart(geometry.pointAt(piece, 0));
        lines.push({ origin: { ...piece.origin, start, end: start }, before: piece.first - 1, way, text });
      }
      seen.add(start);
    }
  }
  return lines;
}
