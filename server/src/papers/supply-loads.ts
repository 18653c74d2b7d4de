import type { Account } from '../model/account.ts';
import type { Plan } from '../model/plan.ts';
import { amps, rating, share, watts } from '../model/texts.ts';
import { type Cell, figure, type Table } from './paper.ts';

/** How far each supply is loaded at the look that the display is designed for. */
export function supplyLoads(plan: Plan, account: Account): Table {
  return {
    id: 'supplies',
    title: 'Supplies',
    columns: [
      { title: 'supply' },
      { title: 'at' },
      { title: 'load', align: 'right', unit: 'A' },
      { title: 'rated', align: 'right', unit: 'A' },
      { title: 'share', align: 'right' },
      { title: 'power', align: 'right', unit: 'W' },
      { title: 'mains' },
    ],
    rows: [...plan.supplies.values()].map((supply): Cell[] => {
      const load = account.supplies.get(supply);
      const rated = supply.part?.rated;
      return [
        supply.name,
        supply.place?.name,
        load === undefined ? undefined : figure(load.amps, amps),
        rated === undefined ? undefined : figure(rated, rating),
        load === undefined || rated === undefined ? undefined : figure(load.amps / rated, share),
        load === undefined ? undefined : figure(load.watts, watts),
        supply.circuit?.name,
      ];
    }),
  };
}
