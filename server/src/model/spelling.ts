import { distance } from 'fastest-levenshtein';

/** The candidate nearest to a word, if it is near enough to be a slip: at most a third of its letters differ. */
export function closest(word: string, candidates: Iterable<string>): string | undefined {
  let best: string | undefined;
  let least = Math.max(1, Math.floor(word.length / 3)) + 1;
  let tried = 0;
  for (const candidate of candidates) {
    if (++tried > 500) break;
    const far = distance(word, candidate);
    if (far < least && candidate !== word) {
      least = far;
      best = candidate;
    }
  }
  return best;
}
