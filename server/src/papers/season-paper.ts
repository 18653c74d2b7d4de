import type { Account } from '../model/account.ts';
import type { Plan } from '../model/plan.ts';
import { kilowattHours, nightsText, type SeasonEnergy, seasonAccount } from '../model/season.ts';
import { type Cell, figure, type Paper } from './paper.ts';

/** What the season takes from the mains, circuit by circuit; none where the plan says nothing of a season. */
export function seasonPaper(plan: Plan, account: Account): Paper[] {
  const found = seasonAccount(plan, account);
  if (found === undefined) return [];
  const { season, circuits, rest } = found;
  const priced = season.price === undefined ? '' : ` The price is ${(season.price * 3.6e6).toFixed(2)} for a kWh.`;
  const left = found.unsolved === 0 ? '' : ' A part of the plan has no voltages and is not counted.';
  return [
    {
      id: 'season',
      title: 'Energy of the season',
      intro: `${nightsText(season)} on average (${season.brightness.source}), supplies as efficient as at full load.${priced}${left}`,
      tables: [
        {
          id: 'season',
          columns: [
            { title: 'circuit' },
            { title: 'energy', align: 'right', unit: 'kWh' },
            { title: 'cost', align: 'right' },
          ],
          rows: [
            ...[...circuits].map(([circuit, part]) => row(circuit.name, part)),
            ...(rest === undefined ? [] : [row('on no circuit', rest)]),
          ],
          sum: row('in all', found),
        },
      ],
    },
  ];
}

function row(name: string, { joules, cost }: SeasonEnergy): Cell[] {
  const energy = figure(joules / 3.6e6, kilowattHours);
  return [name, energy, cost === undefined ? undefined : figure(cost, (value) => value.toFixed(2))];
}
