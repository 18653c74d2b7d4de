/**
 * Mistakes that nothing can notice, each with the reason: they are counted apart. `file` and `within`, the function in
 * which the place stands (empty: none that has a name), and the `code` of its line narrow a rule down; `what` is matched against the
 * change as `run.mjs` prints it.
 * @type {{ file?: string, within?: string, code?: RegExp, what: RegExp, reason: string }[]}
 */
export const EQUIVALENT = [
  {
    file: 'limits.ts',
    within: 'exceeds',
    what: /^value > limit .* → \(value\) >= /,
    reason: 'no value stands at exactly a billionth beyond its limit',
  },
  {
    file: 'wrong-voltage.ts',
    within: 'compare',
    what: /^0 → 1$/,
    reason: 'a default that the types ask for: too high is only what has an upper limit',
  },
  {
    file: 'address-overlap.ts',
    within: 'freeUniverse',
    what: /^0 → 1$/,
    reason: 'an address ends at slot 1 or later, so the largest of them is the same',
  },
  {
    file: 'measured-differs.ts',
    within: '',
    what: /^difference < 0 → \(difference\) <= /,
    reason: 'what is told differs by a tenth of a volt and more',
  },
  {
    file: 'link-ground-shift.ts',
    within: '',
    what: /^shift > 0 → \(shift\) >= \(0\)$/,
    reason: 'only a shift of 7 V and more is told, and that is not 0',
  },
  {
    file: 'route-crowded.ts',
    within: 'cablesOn',
    what: /^index \+ 1 → \(index\) - \(1\)$/,
    reason: 'the neighbour before instead of the one behind: both directions count, so the pairs are the same',
  },
  {
    file: 'solve/settle.ts',
    within: '',
    what: /^10 → /,
    reason: 'a limit of rounds that no network comes near',
  },
  {
    file: 'solve/network.ts',
    within: '',
    what: /^0 → 1$/,
    reason: 'the curve of what takes no part is never evaluated',
  },
  {
    file: 'solve/elimination-order.ts',
    what: /^e < ends.length → \(e\) <= \(ends.length\)$/,
    reason: 'behind the end of a typed array there is nothing: neither end is a vertex, and the branch is passed over',
  },
  {
    file: 'solve/evaluate.ts',
    within: 'sumOthers',
    what: /^t < terminalNode.length → \(t\) <= \(terminalNode.length\)$/,
    reason: 'behind the end of a typed array there is nothing, which is no node',
  },
  {
    file: 'solve/ldl-block.ts',
    within: 'factorDense',
    what: /^i \+ 4 <= width → \(i \+ 4\) < \(width\)$/,
    reason: 'the last four rows are reduced one by one, by the same sums',
  },
  {
    file: 'solve/load-curve.ts',
    within: '',
    what: /^5 → /,
    reason: 'a piece with a place to spare, which nobody reads',
  },
  {
    file: 'solve/structure.ts',
    within: 'branchEnds',
    code: /fill\(-1\)/,
    what: /^1 → \(1 \+ 1\)$/,
    reason: 'of an end that is none only the sign is asked',
  },
  {
    file: 'solve/minimum-degree.ts',
    within: 'closeElement',
    what: /^this.poolEnd = to; → ;$/,
    reason: 'the lists are moved together sooner, and say the same',
  },
  {
    file: 'solve/minimum-degree.ts',
    within: 'compact',
    what: /^weight\[i\] > 0 → \(weight\[i\]\) >= \(0\)$/,
    reason: 'more room than is needed, and the lists say the same',
  },
  {
    file: 'solve/chain-state.ts',
    within: '',
    code: /roomLength = 1 << 16/,
    what: /^1 → /,
    reason: 'rooms twice as large',
  },
  {
    file: 'solve/chain-settle.ts',
    within: '',
    code: /const seen = /,
    what: /^0 → 1$/,
    reason: 'written before it is read',
  },
  {
    file: 'solve/islands.ts',
    within: '',
    code: /levelFound = 0/,
    what: /^0 → 1$/,
    reason: 'written before it is read',
  },
  {
    file: 'solve/chain-interval.ts',
    within: 'fitInterval',
    what: /^oldLast < count - 1 → \(oldLast\) <= /,
    reason: 'between the last pixel and the end there is no other: the last one stays what it is',
  },
  {
    file: 'solve/chain-report.ts',
    within: 'addPixels',
    what: /^u < from\[j\] → \(u\) <= /,
    reason: 'a step to the piece below, which the next line takes back',
  },
  {
    file: 'solve/ldl-block.ts',
    within: 'newLdlFactor',
    what: /^256 → /,
    reason: 'room that grows when it is too small',
  },
  {
    file: 'solve/settle.ts',
    within: 'settle',
    what: /^round < mostRounds → \(round\) <= /,
    reason: 'a limit of rounds that no network comes near',
  },
  {
    file: 'solve/structure.ts',
    within: 'analyse',
    what: /^i < ends.length → \(i\) <= /,
    reason: 'behind the end of a typed array there is nothing, which is no row',
  },
  {
    file: 'solve/evaluate.ts',
    within: 'evaluateChain',
    what: /^isFlat → false$/,
    reason: 'the same slopes are stored once more',
  },
  {
    file: 'circuit-key.ts',
    within: 'mix',
    what: /^(?:13|19|15|17|5|0xe6546b64) → /,
    reason: 'another number mixes the words as well',
  },
  {
    file: 'solve/ldl-structure.ts',
    within: 'postorder',
    what: /^n - 1 → \(n\) \+ \(1\)$/,
    reason: 'behind the end of a typed array there is nothing: no row, and no parent of one',
  },
  {
    file: 'solve/evaluate-regulated.ts',
    within: 'evaluateRegulated',
    what: /^(?:start|end) >= knee → \(\w+\) > /,
    reason: 'at the knee both ways say the same',
  },
  {
    file: 'solve/describe.ts',
    within: 'describe',
    what: /^before === undefined → \(before\) !== /,
    reason: 'what has not changed is described again, and says the same',
  },
  {
    file: 'solve/ldl-structure.ts',
    within: 'isWorthZeros',
    what: /^\d+ → \(\d+ \+ 1\)$/,
    reason: 'how many zeros are stored is a matter of cost',
  },
];
