import { distance } from 'fastest-levenshtein';

/**
 * The candidate nearest to a word, if it is near enough to be a slip: at most a third of its letters differ. Two
 * neighbouring letters that changed places count as one.
 */
export function closest(word: string, candidates: Iterable<string>): string | undefined {
  let best: string | undefined;
  let least = Math.max(1, Math.floor(word.length / 3)) + 1;
  let tried = 0;
  for (const candidate of candidates) {
    if (++tried > 500) break;
    const far = isSwapped(word, candidate) ? 1 : distance(word, candidate);
    if (far < least && candidate !== word) {
      least = far;
      best = candidate;
    }
  }
  return best;
}

/** Do the words differ in two neighbouring letters that changed places, and in nothing else? */
function isSwapped(word: string, candidate: string): boolean {
  if (word.length !== candidate.length) return false;
  let at = 0;
  while (at < word.length && word[at] === candidate[at]) at++;
  return (
    at + 1 < word.length &&
    word[at] === candidate[at + 1] &&
    word[at + 1] === candidate[at] &&
    word.slice(at + 2) === candidate.slice(at + 2)
  );
}
