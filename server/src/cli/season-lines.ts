import { energyText, nightsText } from '../model/season.ts';
import { type Line, styled } from './page.ts';
import type { Report } from './report.ts';

/** The energy of the season and its cost, in all and by circuit; nothing where the plan states no season. */
export function seasonLines({ season: found }: Report): Line[] {
  if (found === undefined) return [];
  const { season, circuits } = found;
  return [
    [styled('Season', 'strong'), `  ${energyText(found)}: ${nightsText(season)}, efficiency as at full load.`],
    ...[...circuits].map(([circuit, part]): Line => [`  ${circuit.name}: ${energyText(part)}`]),
  ];
}
