import type { Account } from '../model/account.ts';
import type { Plan } from '../model/plan.ts';
import { type SeasonAccount, seasonAccount } from '../model/season.ts';
import { share } from '../model/texts.ts';
import { type Cell, figure, type Paper } from './paper.ts';

/** What the season takes from the mains, circuit by circuit; none where the plan says nothing of a season. */
export function seasonPaper(plan: Plan, account: Account): Paper[] {
  const found = seasonAccount(plan, account);
  if (found === undefined) return [];
  const { season, circuits } = found;
  const rest = found.joules - [...circuits.values()].reduce((sum, { joules }) => sum + joules, 0);
  const hours = Number((season.seconds / 3600).toPrecision(3));
  const priced = season.price === undefined ? '' : ` The price is ${(season.price * 3.6e6).toFixed(2)} for a kWh.`;
  const left = found.unsolved === 0 ? '' : ' A part of the plan has no voltages and is not counted.';
  return [
    {
      id: 'season',
      title: 'Energy of the season',
      intro: `${season.nights} nights of ${hours} h, white at ${share(season.brightness.value)} on average (${season.brightness.source}), supplies as efficient as at full load.${priced}${left}`,
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
            ...(rest > 0.5 ? [row('on no circuit', { joules: rest, cost: costOf(found, rest) })] : []),
          ],
          sum: row('in all', found),
        },
      ],
    },
  ];
}

const costOf = ({ season }: SeasonAccount, joules: number) =>
  season.price === undefined ? undefined : joules * season.price;

function row(name: string, { joules, cost }: { readonly joules: number; readonly cost: number | undefined }): Cell[] {
  const energy = figure(joules / 3.6e6, (value) => `${value < 99.5 ? value.toFixed(1) : value.toFixed(0)} kWh`);
  return [name, energy, cost === undefined ? undefined : figure(cost, (value) => value.toFixed(2))];
}
