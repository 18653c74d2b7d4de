import { CAUTIONS } from '../papers/cautions.ts';
import { type Line, styled, wrap } from './page.ts';

/** What stands below everything that tells someone what to wire. */
export function cautions(width: number): Line[] {
  return CAUTIONS.flatMap((text) => wrap(text, width)).map((text): Line => [styled(text, 'faint')]);
}
