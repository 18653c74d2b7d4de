import { type Line, styled, wrap } from './page.ts';

const CAUTIONS: readonly string[] = [
  'Mains parts are for a licensed electrician and local codes. Outdoor circuits need residual-current protection.',
  'Fuse every feed at the supply end. Disconnect before touching.',
  'Roofs, ladders, guyed masts and wind loads need proper anchoring and competent advice.',
  'Festoon computes; it does not approve.',
];

/** What stands below everything that tells someone what to wire. */
export function cautions(width: number): Line[] {
  return CAUTIONS.flatMap((text) => wrap(text, width)).map((text): Line => [styled(text, 'faint')]);
}
