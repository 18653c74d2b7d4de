import { forceText, MAST_CAUTION, mastLoad } from '../model/mast-load.ts';
import { type Line, styled, wrap } from './page.ts';
import type { Report } from './report.ts';

/** What the wind asks of each mast, with its caution; nothing where there is none. */
export function mastLines({ plan }: Report, width: number): Line[] {
  if (plan.masts.size === 0) return [];
  const text = (newtons: number) => forceText(newtons, plan.design.units);
  return [
    [styled('Masts', 'strong')],
    ...[...plan.masts.values()]
      .flatMap((mast) => {
        const load = mastLoad(mast);
        return wrap(
          `  ${mast.name}: wind ${text(load.wind)}, moment ${Math.round(load.moment).toLocaleString('en')} N m; a guy pulls ${text(load.guy)}, its anchor ${text(load.anchorHorizontal)} outward and ${text(load.anchorVertical)} up`,
          width,
        );
      })
      .map((line): Line => [line]),
    ...wrap(MAST_CAUTION, width).map((line): Line => [styled(line, 'faint')]),
  ];
}
