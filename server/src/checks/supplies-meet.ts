import type { Origin, Related } from '../model/finding.ts';
import type { Run, Supply } from '../model/plan.ts';
import { portOrigin } from '../model/port-of.ts';
import type { SolvedIsland } from '../model/solved-island.ts';
import { Zones } from '../model/zones.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';
import { suppliesByZone, tapsRun } from './wrong-voltage.ts';

export const suppliesMeet: Check = {
  code: 'supplies-meet',
  hazard: true,
  level: 'error',
  title: 'Two supplies meet on V+ in one run',
  needs: needs.severalSupplies,
  explanation: `Two supplies on one V+ rail never share the load: the one that is set a little higher carries it all, until it folds
back, and when one of them is off the other one feeds it backwards. Grounds are joined, V+ is not.

What helps: a line \`cut V+\` in the run at the joint between the zones, or feed the whole run from one supply.`,
  run: ({ account }, report) => {
    for (const solved of account.islands) {
      const zones = new Zones(solved.circuit);
      const byZone = suppliesByZone(solved, zones);
      const seen = new Set<Run>();
      for (const [index, role] of solved.circuit.stretches.entries()) {
        const stretch = solved.circuit.circuit.stretches[index];
        if (stretch === undefined || seen.has(role.run)) continue;
        const supplies = byZone.get(zones.of(stretch.positiveStart));
        if (supplies === undefined || supplies.length < 2) continue;
        seen.add(role.run);
        const ways = waysIn(solved, role.run, supplies);
        const [first, ...others] = ways;
        const second = others.find((way) => way.supply !== first?.supply);
        // A run may be joined to the zone through one way alone; then the meeting is reported where it happens.
        if (first === undefined || second === undefined) continue;
        report({
          code: 'supplies-meet',
          origin: second.origin,
          subject: role.run.name,
          message: `${first.supply.name} and ${second.supply.name} meet on V+ of ${role.run.name}. Cut V+ between their zones: write "cut V+" in the run at a joint between them, or feed it all from one supply.`,
          related: ways
            .filter((way) => way !== second)
            .map((way): Related => ({ origin: way.origin, message: `${way.supply.name} comes in here.` })),
        });
      }
    }
  },
};

interface Way {
  readonly supply: Supply;
  readonly origin: Origin;
}

/** Port and feeds through which supplies come to the V+ of a run, in the order of the plan. */
function waysIn(solved: SolvedIsland, run: Run, supplies: readonly Supply[]): Way[] {
  const ways: Way[] = [];
  const board = run.controller?.from?.supply;
  const leadCarries = run.pieces.every((piece) => piece.kind !== 'lead' || piece.cable.cores.has('V+'));
  if (board !== undefined && supplies.includes(board) && run.controller?.part?.portFuse !== undefined && leadCarries) {
    ways.push({ supply: board, origin: portOrigin(run) });
  }
  for (const feed of solved.island.feeds) {
    const supply = feed.from?.supply;
    if (supply !== undefined && supplies.includes(supply) && tapsRun(feed, run))
      ways.push({ supply, origin: feed.fromOrigin ?? feed.origin });
  }
  return ways;
}
