import { portName, portOrigin } from '../model/port-of.ts';
import { amps, rating, share, shareBeside } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const portOverloaded: Check = {
  code: 'port-overloaded',
  level: 'error',
  ofLoad: true,
  title: 'A port passes on more current than its fuse should carry',
  needs: needs.fusedPorts,
  explanation: `A port whose board passes V+ on has a small fuse. All current that the run takes from the port goes through it.
It is used to at most 80 % of its rating (common practice).

What helps: inject power further along the run, so that less of it comes through the port, or cut V+ behind the port and
feed the run from a fused output.`,
  run: ({ plan, account }, report) => {
    for (const run of account.runs.values()) {
      const fuse = run.run.controller?.part?.portFuse;
      if (fuse === undefined || !exceeds(run.portAmps, fuse * plan.design.fuseShare.value)) continue;
      const port = portName(run.run);
      report({
        code: 'port-overloaded',
        excess: run.portAmps / (fuse * plan.design.fuseShare.value) - 1,
        level: exceeds(run.portAmps, fuse) ? 'error' : 'warning',
        origin: portOrigin(run.run),
        subject: run.run.name,
        message: `Port ${port} passes ${amps(run.portAmps)} on to ${run.run.name}, ${shareBeside(run.portAmps / fuse, plan.design.fuseShare.value)} of its ${rating(fuse)} fuse; ${share(plan.design.fuseShare.value)} is the most for a load that lasts. Inject power along the run.`,
      });
    }
  },
};
