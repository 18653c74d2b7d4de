import { energyText } from '../model/season.ts';
import { share } from '../model/texts.ts';
import { type Line, styled } from './page.ts';
import type { Report } from './report.ts';

/** The energy of the season and its cost, in all and by circuit; nothing where the plan states no season. */
export function seasonLines({ season: found }: Report): Line[] {
  if (found === undefined) return [];
  const { season, circuits } = found;
  const nights = `${season.nights} nights of ${Number((season.seconds / 3600).toPrecision(3))} h, white at ${share(season.brightness.value)}`;
  return [
    [styled('Season', 'strong'), `  ${energyText(found)}: ${nights}, efficiency as at full load.`],
    ...[...circuits].map(([circuit, part]): Line => [`  ${circuit.name}: ${energyText(part)}`]),
  ];
}
