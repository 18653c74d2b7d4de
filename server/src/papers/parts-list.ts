import type { Plan } from '../model/plan.ts';
import { amountText } from '../model/prices.ts';
import type { Spares } from '../model/spares.ts';
import { type LengthUnits, metres, share } from '../model/texts.ts';
import { type Cost, type Costs, costsOf } from './costs.ts';
import { type Need, needsOf } from './needs.ts';
import { type Cell, type Figure, figure, type Paper, type Table, whole } from './paper.ts';

export function partsList(plan: Plan): Paper {
  const { units, spares } = plan.design;
  const rows = needsOf(plan).map((need): Cell[] => [
    need.kind,
    nameOf(need),
    amountOf(need, need.amount, units),
    need.spare === 0 ? undefined : amountOf(need, need.spare, units),
    amountOf(need, need.amount + need.spare, units),
    need.pieces === undefined ? undefined : `in ${need.pieces} ${need.pieces === 1 ? 'piece' : 'pieces'}`,
  ]);
  return {
    id: 'parts',
    title: 'Parts list',
    intro: `What has to lie on the bench before the work starts. ${sparesText(spares)} Cable is the sum of the cut list: round up to whole drums.`,
    tables: [
      {
        id: 'parts',
        columns: [
          { title: 'kind' },
          { title: 'part' },
          { title: 'needed', align: 'right' },
          { title: 'spare', align: 'right' },
          { title: 'together', align: 'right' },
          { title: '', align: 'right' },
          { title: 'have', blank: true },
          { title: 'to buy', blank: true },
        ],
        rows,
      },
      ...costTables(costsOf(plan), units),
    ],
  };
}

const nameOf = ({ label, name }: Need) => (label === undefined ? name : `${label} (${name})`);

function amountOf(need: Need, value: number, units: LengthUnits): Figure {
  return need.kind === 'cable' ? figure(value, (it) => metres(it, units)) : whole(value);
}

function sparesText({ pixels, connectors, cable, devices, fuses }: Spares): string {
  const all = [pixels, connectors, cable, devices, fuses];
  const source = all.every(({ origin }) => origin === undefined)
    ? 'by common practice'
    : all.every(({ origin }) => origin !== undefined)
      ? 'as the plan says'
      : 'as the plan says, else by common practice';
  const cables = cable.value === 0 ? '' : `, ${share(cable.value)} of the cable`;
  return `Spares ${source}: ${share(pixels.value)} of the pixels, ${share(connectors.value)} of the connectors${cables}, ${devices.value} of each kind of device, ${fuses.value} of each fuse.`;
}

/** One table for each currency: they are never added. */
function costTables({ costs, total, unpriced }: Costs, units: LengthUnits): Table[] {
  const left =
    unpriced.length === 0
      ? ''
      : ` Not in the sum, since the plan gives no price: ${unpriced.map(({ name }) => name).join('; ')}.`;
  return [...total].map(([currency, sum], index): Table => {
    const money = (value: number) => figure(value, (it) => amountText(it, currency));
    return {
      id: `cost-${index + 1}`,
      title: total.size === 1 ? 'Cost' : `Cost in ${currency}`,
      note: `With spares, in whole packs.${left}`,
      columns: [
        { title: 'part' },
        { title: 'together', align: 'right' },
        { title: 'price', align: 'right', unit: currency },
        { title: 'for' },
        { title: 'to buy', align: 'right' },
        { title: 'cost', align: 'right', unit: currency },
      ],
      rows: costs
        .filter(({ price }) => price.currency === currency)
        .map((cost): Cell[] => [
          nameOf(cost.need),
          amountOf(cost.need, cost.need.amount + cost.need.spare, units),
          money(cost.price.amount),
          packText(cost, units),
          boughtOf(cost, units),
          money(cost.amount),
        ]),
      sum: ['in all', undefined, undefined, undefined, undefined, money(sum)],
    };
  });
}

/** "a string of 50", "a drum of 100 m", "one", "a metre" */
function packText({ need, price: { pack } }: Cost, units: LengthUnits): string {
  if (need.kind === 'cable') return pack === undefined ? 'a metre' : metres(pack, units);
  return pack === undefined ? 'one' : `${pack.toLocaleString('en')}`;
}

/** Packs, where it comes in packs. */
function boughtOf({ need, price, bought }: Cost, units: LengthUnits): Figure {
  if (price.pack !== undefined) return figure(bought, (it) => `${it.toLocaleString('en')} x`);
  return amountOf(need, bought, units);
}
