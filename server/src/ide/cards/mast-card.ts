import type { Analysis } from '../../analysis/analysis.ts';
import { forceText, MAST_CAUTION, mastLoad } from '../../model/mast-load.ts';
import type { Mast } from '../../model/plan.ts';
import { metres } from '../../model/texts.ts';
import { type Card, fact } from '../card.ts';

/** A guyed mast: wind, moment, guys and anchors, and the caution that belongs to them. */
export function mastCard({ plan }: Analysis, mast: Mast): Card {
  const { units } = plan.design;
  const load = mastLoad(mast);
  const force = (newtons: number) => forceText(newtons, units);
  const { sail, guys } = mast;
  const unstated = (setting: { readonly origin: unknown; readonly source: string }) =>
    setting.origin === undefined ? ` (${setting.source})` : '';
  const beside = (rated: { readonly value: number } | undefined) =>
    rated === undefined
      ? 'no working load stated'
      : `${Math.round((load.guy / rated.value) * 100)} % of ${force(rated.value)}`;
  return {
    kind: 'mast',
    name: mast.name,
    label: mast.label,
    description: mast.description,
    facts: [
      ...fact('stands at', mast.place?.name, mast.place?.label),
      ...fact(
        'wind pressure',
        `${Math.round(load.pressure)} Pa`,
        `0.5 x 1.25 kg/m³ x (${Number(mast.wind.toPrecision(3))} m/s)²: EN 1991-1-4, from memory; ASCE 7 takes 2 % less`,
      ),
      ...fact(
        'wind force',
        force(load.wind),
        `drag ${sail.drag.value}${unstated(sail.drag)} at ${metres(sail.centre.value, units)}${unstated(sail.centre)}`,
      ),
      ...fact('overturning moment', `${Math.round(load.moment).toLocaleString('en')} N m`, 'about the foot'),
      ...fact('most pull on a guy', force(load.guy), beside(guys.rated)),
      ...fact(
        'guys',
        `${guys.count} of ${metres(load.guyLength, units)}`,
        `${Math.round(load.guyAngle)}° above the ground`,
      ),
      ...fact(
        'on its anchor',
        `${force(load.anchorHorizontal)} outward, ${force(load.anchorVertical)} up`,
        beside(mast.anchor),
      ),
      ...fact('down on the foot', force(load.down), 'from that guy; weight and pretension come on top'),
    ],
    notes: [MAST_CAUTION],
  };
}
