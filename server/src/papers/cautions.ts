/** What stands beside everything that tells someone what to wire, on screen and on paper. */
export const CAUTIONS: readonly string[] = [
  'Mains parts are for a licensed electrician and local codes. Outdoor circuits need residual-current protection.',
  'Fuse every feed at the supply end. Disconnect before touching.',
  'Roofs, ladders, guyed masts and wind loads need proper anchoring and competent advice.',
  'Festoon computes; it does not approve.',
];
