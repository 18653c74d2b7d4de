import type { SuggestContext } from '../checks/check.ts';
import type { Finding, Fix, Origin } from '../model/finding.ts';
import { unitOfRun } from '../model/fixtures.ts';
import type { Plan, Run } from '../model/plan.ts';
import { metres } from '../model/texts.ts';
import { closes } from './holds.ts';

/**
 * Suggests to split a run that is too long for its port: what lies behind a joint becomes a run of its own on a free
 * port, with a lead of the same cable that is longer by the way to the joint. Of all joints that close the finding the one
 * that halves the run best is offered.
 */
export function suggestSplit(ctx: SuggestContext, finding: Finding): readonly Fix[] {
  const run = ctx.plan.runs.get(finding.subject ?? '');
  const port = run === undefined ? undefined : freePort(ctx.plan, run);
  if (run === undefined || port === undefined || unitOfRun(run) !== 'pixel') return [];
  const half = run.pixelCount / 2;
  const joints = linesOf(run).sort((a, b) => Math.abs(a.before - half) - Math.abs(b.before - half));
  for (const joint of joints.slice(0, 8)) {
    const name = freeName(ctx.plan, run.name);
    const place = run.place === undefined ? '' : `  at ${run.place.name}`;
    const text = `}\n\nrun ${name}  from ${run.controller?.name ?? ''}.${port}${place} {\n${leadFor(ctx.plan, run, joint.along)}  `;
    const edits = [{ origin: joint.origin, text: `${text}` }];
    if (closes(ctx, finding, edits) === undefined) continue;
    return [
      {
        title: `Split ${run.name} at ${joint.text}: ${joint.before} px stay, ${run.pixelCount - joint.before} px go to ${run.controller?.name ?? ''}.${port}`,
        edits,
        preferred: true,
      },
    ];
  }
  return [];
}

function leadFor(plan: Plan, run: Run, along: number): string {
  const lead = run.pieces.find((piece) => piece.kind === 'lead');
  if (lead?.kind !== 'lead') return '';
  const way = lead.path.length === 0 ? '' : `  along ${lead.path.map((place) => place.name).join(' to ')}`;
  const step = plan.design.units === 'metric' ? 0.5 : 0.3048;
  const length = Math.ceil((lead.length + along) / step - 1e-9) * step;
  return `  lead ${metres(length, plan.design.units)}  of ${lead.cable.name}${way}\n`;
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
function linesOf(run: Run): { origin: Origin; before: number; along: number; text: string }[] {
  const lines: { origin: Origin; before: number; along: number; text: string }[] = [];
  const seen = new Set<number>();
  let along = 0;
  for (const piece of run.pieces) {
    if (piece.kind === 'gap') along += piece.length;
    if (piece.kind !== 'string') continue;
    const { declaration } = piece.origin;
    if (declaration === run.origin.declaration) {
      const start = lineStart(declaration.text, piece.origin.start);
      if (!seen.has(start) && piece.first > 1) {
        const text = piece.copies?.name ?? piece.element ?? `pixel ${piece.first}`;
        lines.push({ origin: { ...piece.origin, start, end: start }, before: piece.first - 1, along, text });
      }
      seen.add(start);
    }
    along += piece.count * piece.pitch;
  }
  return lines;
}

function lineStart(text: string, offset: number): number {
  let start = Math.max(text.lastIndexOf('\n', offset - 1), text.lastIndexOf('\r', offset - 1)) + 1;
  while (text[start] === ' ' || text[start] === '\t') start++;
  return start;
}
