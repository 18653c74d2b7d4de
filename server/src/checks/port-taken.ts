import type { Run } from '../model/plan.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';

export const portTaken: Check = {
  code: 'port-taken',
  level: 'error',
  title: 'Two runs on one port',
  needs: needs.runs,
  explanation: `A port sends one stream of data. Two runs on it would show the same pixels, and their loads add up in its fuse. What
follows in data order on the same port belongs into the same run.

What helps: another port for one of them, or one run with a gap between the two.`,
  run: ({ plan }, report) => {
    const taken = new Map<string, Run>();
    for (const run of plan.runs.values()) {
      if (run.controller === undefined || run.port === undefined) continue;
      const port = `${run.controller.name}.${run.port}`;
      const first = taken.get(port);
      if (first === undefined) {
        taken.set(port, run);
        continue;
      }
      const free = freePort(plan.runs.values(), run);
      report({
        code: 'port-taken',
        origin: run.portOrigin ?? run.origin,
        subject: run.name,
        message: `Port ${port} already drives ${first.name}. Give ${run.name} another port${free === undefined ? '' : `; ${free} is free`}.`,
        related: [{ origin: first.portOrigin ?? first.origin, message: `${first.name} is on it.` }],
        fixes:
          free === undefined || run.portOrigin === undefined
            ? []
            : [{ title: `Use port ${free}`, edits: [{ origin: run.portOrigin, text: free }], preferred: true }],
      });
    }
  },
};

/** The first port of the run's controller that no run is on. */
function freePort(runs: Iterable<Run>, run: Run): string | undefined {
  const used = new Set<number>();
  for (const other of runs) if (other.controller === run.controller && other.port !== undefined) used.add(other.port);
  const ports = run.controller?.part?.ports ?? 0;
  for (let port = 1; port <= ports; port++) if (!used.has(port)) return `${run.controller?.name}.${port}`;
  return undefined;
}
