import { sure } from '#grammar/sure.ts';
import type { Origin, Report } from '../model/finding.ts';
import type { Feed, Run, Supply, WholePart } from '../model/plan.ts';
import { portOrigin } from '../model/port-of.ts';
import type { SolvedIsland } from '../model/solved-island.ts';
import { volts } from '../model/texts.ts';
import { Zones } from '../model/zones.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
import * as needs from './needs.ts';

export const wrongVoltage: Check = {
  code: 'wrong-voltage',
  hazard: true,
  level: 'error',
  title: 'A supply of the wrong voltage reaches pixels or a board',
  needs: needs.loads,
  explanation: `12 V into a 5 V string destroys it at once, all of it. The supply's set voltage is compared with what the pixels say
that they accept (\`accepts 9 V to 13.5 V\`; where the part does not say, from 20 % under to 15 % over nominal, common
practice). A supply below that range does no harm, but the pixels do not light.

What helps: check which output the cable comes from, and which part the string is made of.`,
  run: ({ account }, report) => {
    for (const solved of account.islands) {
      const zones = new Zones(solved.circuit);
      const supplies = suppliesByZone(solved, zones);
      const seen = new Set<string>();
      for (const [index, role] of solved.circuit.stretches.entries()) {
        const stretch = sure(solved.circuit.circuit.stretches[index]);
        for (const supply of supplies.get(zones.of(stretch.positiveStart)) ?? []) {
          const key = `${role.run.name} ${supply.name} ${role.piece.part.name}`;
          if (seen.has(key)) continue;
          seen.add(key);
          compare(report, solved, role.run, role.piece.part, supply, role.piece.line.partOrigin);
        }
      }
      for (const controller of solved.island.controllers) compareBoard(report, controller);
    }
  },
};

function compare(
  report: Report,
  solved: SolvedIsland,
  run: Run,
  part: WholePart,
  supply: Supply,
  partOrigin: Origin,
): void {
  // One without a voltage is no source of the circuit.
  const { value: set, origin: setOrigin } = sure(supply.volts);
  const tooHigh = exceeds(set, part.accepts.value.to);
  const lowest = part.accepts.origin === undefined ? part.volts * 0.8 : part.accepts.value.from;
  const tooLow = exceeds(lowest, set);
  if (!tooHigh && !tooLow) return;
  const feeds = solved.island.feeds.filter((other) => tapsRun(other, run));
  const feed = feeds.find((other) => other.from?.supply === supply);
  const origin = feed?.fromOrigin ?? portOrigin(run);
  const what = tooHigh
    ? `${supply.name} gives ${volts(set)}; ${part.name} takes at most ${volts(part.accepts.value.to)} and would be destroyed.`
    : `${supply.name} gives ${volts(set)}; ${part.name} is made for ${volts(part.volts)} and would stay dark.`;
  report({
    code: 'wrong-voltage',
    origin,
    subject: run.name,
    spoils: [run, supply, run.controller, ...feeds].flatMap((thing) => thing?.name ?? []),
    message: `${what} Take a supply of ${part.volts} V for ${run.name}.`,
    related: [
      { origin: partOrigin, message: `${part.name} is used here.` },
      { origin: setOrigin ?? supply.origin, message: `${supply.name} is set to ${volts(set)} here.` },
    ],
  });
}

function compareBoard(report: Report, controller: SolvedIsland['island']['controllers'][number]): void {
  const { part, from } = controller;
  const set = from?.supply.volts?.value;
  if (part?.accepts === undefined || from === undefined || set === undefined) return;
  const { accepts } = part;
  if (!exceeds(accepts.from, set) && !exceeds(set, accepts.to)) return;
  report({
    code: 'wrong-voltage',
    origin: controller.fromOrigin ?? controller.origin,
    subject: controller.name,
    message: `${from.supply.name} gives ${volts(set)}; ${part.name} takes ${volts(accepts.from)} to ${volts(accepts.to)}.`,
  });
}

/** The supplies whose V+ reaches each zone. */
export function suppliesByZone(solved: SolvedIsland, zones: Zones): Map<number, Supply[]> {
  const found = new Map<number, Supply[]>();
  for (const supply of solved.circuit.sources) {
    const zone = zones.of(sure(solved.circuit.supplies.get(supply)).positive);
    found.set(zone, [...(found.get(zone) ?? []), supply]);
  }
  return found;
}

export function tapsRun(feed: Feed, run: Run): boolean {
  return feed.pieces.some((piece) => piece.kind === 'tap' && piece.tap.run === run);
}
