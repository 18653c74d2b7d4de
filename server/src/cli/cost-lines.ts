import { costText } from '../papers/costs.ts';
import { type Line, styled } from './page.ts';
import type { Report } from './report.ts';

/** What the parts cost, by currency; nothing where no part has a price. */
export function costLines({ costs }: Report): Line[] {
  const text = costText(costs);
  return text === undefined ? [] : [[styled('Parts', 'strong'), `  ${text}.`]];
}
