/**
 * Mistakes that nothing can notice, each with the reason: they are counted apart. `file` and `within`, the function in
 * which the place stands (empty: none that has a name), and the `code` of its line narrow a rule down; `what` is matched against the
 * change as `run.mjs` prints it.
 * @type {{ file?: string, within?: string, code?: RegExp, what: RegExp, reason: string }[]}
 */
export const EQUIVALENT = [
  {
    what: /<= .*\(1 \+ 1e-9\) → .* < \(.*\(1 \+ 1e-9\)\)$/,
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
    file: 'string-state.ts',
    within: 'isDark',
    what: /^string.startVolts >= 0.5 → \(string.startVolts\) > \(0.5\)$/,
    reason: 'no solution of a network is half a volt to the last bit',
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
];
