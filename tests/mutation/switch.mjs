/** Which mutant is on, and how often each was asked for: code that asks was reached. */
export const switchboard = {
  active: Number(process.env['FESTOON_MUTANT'] ?? -1),
  hits: new Uint32Array(100_000),
  asked: 0,
  most: Number.POSITIVE_INFINITY,
};

export function $m(id) {
  switchboard.hits[id]++;
  if (id !== switchboard.active) return false;
  // A mutant may make a loop that never ends; most of them come by here in each round.
  if (++switchboard.asked > switchboard.most) throw new Error('a loop that does not end');
  return true;
}
