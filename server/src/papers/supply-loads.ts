import type { Account } from '../model/account.ts';
import { deratedOf, shareTaken } from '../model/derating.ts';
import type { Plan } from '../model/plan.ts';
import { amps, rating, share, watts } from '../model/texts.ts';
import { type Cell, figure, type Table } from './paper.ts';

/** How far each supply is loaded at the look that the display is designed for. */
export function supplyLoads(plan: Plan, account: Account): Table {
  const isWarm = [...plan.supplies.values()].some((supply) => (deratedOf(plan.design, supply)?.share ?? 1) < 1);
  return {
    id: 'supplies',
    title: 'Supplies',
    ...(isWarm
      ? {
          note: 'Warm: what a supply can still give in its box at the warmest air, where its part says so; the share is of that.',
        }
      : {}),
    columns: [
      { title: 'supply' },
      { title: 'at' },
      { title: 'load', align: 'right', unit: 'A' },
      { title: 'rated', align: 'right', unit: 'A' },
      ...(isWarm ? [{ title: 'warm', align: 'right' as const, unit: 'A' }] : []),
      { title: 'share', align: 'right' },
      { title: 'power', align: 'right', unit: 'W' },
      { title: 'mains' },
    ],
    rows: [...plan.supplies.values()].map((supply): Cell[] => {
      const load = account.supplies.get(supply);
      const rated = supply.part?.rated;
      const derated = deratedOf(plan.design, supply);
      const taken = load === undefined ? undefined : shareTaken(load.amps, derated);
      return [
        supply.name,
        supply.place?.name,
        load === undefined ? undefined : figure(load.amps, amps),
        rated === undefined ? undefined : figure(rated, rating),
        ...(isWarm ? [derated === undefined || derated.share >= 1 ? undefined : figure(derated.amps, amps)] : []),
        taken === undefined ? undefined : figure(taken, share),
        load === undefined ? undefined : figure(load.watts, watts),
        supply.circuit?.name,
      ];
    }),
  };
}
