import { forceText, MAST_CAUTION, mastLoad } from '../model/mast-load.ts';
import type { Mast, Plan } from '../model/plan.ts';
import { type LengthUnits, metres } from '../model/texts.ts';
import { type Cell, figure, type Paper, type Table } from './paper.ts';

/** What the wind asks of each mast, its guys and its anchors; none where there is no mast. */
export function mastPaper({ masts, design }: Plan): Paper[] {
  if (masts.size === 0) return [];
  const tables = [...masts.values()].map((mast) => mastTable(mast, design.units));
  return [{ id: 'masts', title: 'Masts in the wind', intro: MAST_CAUTION, tables }];
}

function mastTable(mast: Mast, units: LengthUnits): Table {
  const { guys, anchor } = mast;
  const load = mastLoad(mast);
  const force = (newtons: number | undefined): Cell =>
    newtons === undefined ? undefined : figure(newtons, (value) => forceText(value, units));
  const at = mast.place === undefined ? '' : `, ${mast.place.label ?? mast.place.name}`;
  return {
    id: `mast-${mast.name}`,
    title: `${mast.name}${at}`,
    note: `${metres(mast.height, units)} high, ${guys.count} guys of ${metres(load.guyLength, units)}, gusts of ${Number(mast.wind.toPrecision(3))} m/s along one of them, which then holds all.`,
    columns: [
      { title: 'force' },
      { title: 'in this wind', align: 'right', unit: 'N' },
      { title: 'working load', align: 'right', unit: 'N' },
    ],
    rows: [
      ['wind on the mast', force(load.wind), undefined],
      ['pull of a guy', force(load.guy), force(guys.rated?.value)],
      ['its anchor, outward', force(load.anchorHorizontal), undefined],
      ['its anchor, up', force(load.anchorVertical), undefined],
      ['its anchor, together', force(load.guy), force(anchor?.value)],
      ['the foot, down, weight aside', force(load.down), undefined],
      ['the foot, sideways', force(load.foot), undefined],
    ],
  };
}
