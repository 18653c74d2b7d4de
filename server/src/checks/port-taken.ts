import type { Report } from '../model/finding.ts';
import { takenPorts } from '../model/links.ts';
import type { Controller, Run } from '../model/plan.ts';
import { portOrigin } from '../model/port-of.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';

export const portTaken: Check = {
  code: 'port-taken',
  level: 'error',
  title: 'Two runs or links on one port',
  needs: needs.takenPorts,
  explanation: `A port sends one stream of data. Two runs on it would show the same pixels, and their loads add up in its fuse. What
follows in data order on the same port belongs into the same run.

What helps: another port for one of them, or one run with a gap between the two.`,
  run: ({ plan }, report) => {
    const links = linkedPorts(plan.controllers.values(), report);
    const taken = new Map<string, Run>();
    for (const run of plan.runs.values()) {
      if (run.controller === undefined || run.port === undefined) continue;
      const port = `${run.controller.name}.${run.port}`;
      const receiver = links.get(port);
      if (receiver !== undefined) {
        const free = freePort(plan.runs.values(), run, links);
        report({
          code: 'port-taken',
          origin: portOrigin(run),
          subject: run.name,
          message: `Port ${port} goes over the link to ${receiver.name}. Give ${run.name} another port${free === undefined ? '' : `; ${free} is free`}, or take one of ${receiver.name}.`,
          related: [{ origin: receiver.link?.fromOrigin ?? receiver.origin, message: `${receiver.name} takes it.` }],
        });
        continue;
      }
      const first = taken.get(port);
      if (first === undefined) {
        taken.set(port, run);
        continue;
      }
      const free = freePort(plan.runs.values(), run, links);
      report({
        code: 'port-taken',
        origin: portOrigin(run),
        subject: run.name,
        message: `Port ${port} already drives ${first.name}. Give ${run.name} another port${free === undefined ? '' : `; ${free} is free`}.`,
        related: [{ origin: portOrigin(first), message: `${first.name} is on it.` }],
        fixes:
          free === undefined || run.portOrigin === undefined
            ? []
            : [{ title: `Use port ${free}`, edits: [{ origin: run.portOrigin, text: free }], preferred: true }],
      });
    }
  },
};

/** The ports of controllers that links take, by their names; reports where two links take one. */
function linkedPorts(controllers: Iterable<Controller>, report: Report): Map<string, Controller> {
  const taken = new Map<string, Controller>();
  for (const receiver of controllers) {
    const { link } = receiver;
    if (link === undefined) continue;
    const ports = takenPorts(receiver).map((port) => `${link.source.name}.${port}`);
    const clash = ports.find((port) => taken.has(port));
    const first = clash === undefined ? undefined : taken.get(clash);
    for (const port of ports) if (!taken.has(port)) taken.set(port, receiver);
    if (clash === undefined || first === undefined) continue;
    report({
      code: 'port-taken',
      origin: link.fromOrigin,
      subject: receiver.name,
      message: `${receiver.name} takes ${ports.length} ports from here on, and ${clash} already goes to ${first.name}. Start at another port, or go on from ${first.name}: link from ${first.name}`,
      related: [{ origin: first.link?.fromOrigin ?? first.origin, message: `${first.name} takes it.` }],
    });
  }
  return taken;
}

/** The first port of the run's controller that no run is on. */
function freePort(runs: Iterable<Run>, run: Run, links: ReadonlyMap<string, Controller>): string | undefined {
  const used = new Set<number>();
  for (const other of runs) if (other.controller === run.controller && other.port !== undefined) used.add(other.port);
  const ports = run.controller?.part?.ports ?? 0;
  for (let port = 1; port <= ports; port++)
    if (!used.has(port) && !links.has(`${run.controller?.name}.${port}`)) return `${run.controller?.name}.${port}`;
  return undefined;
}
