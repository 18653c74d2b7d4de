import type { Origin, Report } from '../model/finding.ts';
import type { CablePart } from '../model/plan.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';

export const noData: Check = {
  code: 'no-data',
  level: 'error',
  title: 'A lead or gap without a data conductor',
  needs: needs.dataCables,
  explanation: `Data enters a run at its port and goes from pixel to pixel. A cable that carries V+ and ground alone ends it: everything
behind it has power and stays dark.

What helps: a cable part whose \`carries\` line has \`data\`, with ground beside it.`,
  run: ({ plan }, report) => {
    for (const { name, link } of plan.controllers.values()) {
      if (link === undefined || link.cable.cores.has('data')) continue;
      report({
        code: 'no-data',
        origin: link.origin,
        subject: name,
        message: `The link of ${name} is ${link.cable.name}, which carries ${[...link.cable.cores].join(' and ')} but no data. Use a cable that carries data.`,
        related: [{ origin: link.cable.origin, message: `${link.cable.name} is described here.` }],
      });
    }
    for (const run of plan.runs.values()) {
      for (const piece of run.pieces) {
        if (piece.kind === 'lead') look(report, piece.cable, piece.origin, run.name, 'lead');
        if (piece.kind === 'gap' && piece.cable !== undefined) look(report, piece.cable, piece.origin, run.name, 'gap');
      }
    }
  },
};

function look(report: Report, cable: CablePart, origin: Origin, run: string, what: string): void {
  if (cable.cores.has('data')) return;
  report({
    code: 'no-data',
    origin,
    subject: run,
    message: `This ${what} of ${run} is ${cable.name}, which carries ${[...cable.cores].join(' and ')} but no data: all behind it stays dark. Use a cable with a data conductor.`,
    related: [{ origin: cable.origin, message: `${cable.name} is described here.` }],
  });
}
