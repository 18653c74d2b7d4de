import type { Plan } from '../model/plan.ts';
import { metres } from '../model/texts.ts';
import { type CableEnd, type CableItem, cablesOf } from './cable-list.ts';
import { type Cell, figure, type Paper, type Table } from './paper.ts';

/** One table for each kind of cable, longest first, so that a drum is cut with little waste. */
export function cutList(plan: Plan): Paper {
  const byPart = new Map<string, CableItem[]>();
  for (const cable of cablesOf(plan)) {
    const name = cable.part === undefined ? 'own wire of the strings' : (cable.part.label ?? cable.part.name);
    byPart.set(name, [...(byPart.get(name) ?? []), cable]);
  }
  return {
    id: 'cuts',
    title: 'Cut list',
    intro: `Cut, label both ends with the code, tick off. Lengths are as the plan states them; a length taken from a route includes ${metres(plan.design.slack.value, plan.design.units)} of slack and drip loop at each end.`,
    tables: [...byPart].map(([name, cables], index) => cutTable(plan, name, cables, index)),
  };
}

function cutTable(plan: Plan, name: string, cables: readonly CableItem[], index: number): Table {
  const said = (value: number) => figure(value, (it) => metres(it, plan.design.units));
  const sorted = [...cables].sort((a, b) => b.metres - a.metres);
  const sum = cables.reduce((total, cable) => total + cable.metres * cable.parallel, 0);
  return {
    id: `cuts-${index + 1}`,
    title: name,
    columns: [
      { title: 'done', blank: true },
      { title: 'code' },
      { title: 'length', align: 'right', unit: 'm' },
      { title: 'times', align: 'right' },
      { title: 'for' },
      { title: 'from' },
      { title: 'to' },
      { title: 'way' },
    ],
    rows: sorted.map((cable): Cell[] => [
      undefined,
      cable.code,
      said(cable.metres),
      cable.parallel === 1 ? undefined : { text: `x ${cable.parallel}`, value: cable.parallel },
      `${cable.owner} (${cable.kind})`,
      endText(cable.from),
      endText(cable.to),
      cable.path.map((place) => place.name).join(' – '),
    ]),
    sum: [undefined, undefined, said(sum), undefined, 'in all', undefined, undefined, undefined],
  };
}

/** "eaves.end, at roof, with wire-tap" */
export function endText({ text, place, connector }: CableEnd): string {
  const at = place === undefined ? '' : `, at ${place.name}`;
  return `${text}${at}${connector === undefined ? '' : `, with ${connector.name}`}`;
}
