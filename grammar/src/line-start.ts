/** Where the line of an offset starts: behind the line break before it, whichever kind that is. */
export function lineStart(text: string, offset: number): number {
  let at = Math.min(offset, text.length);
  while (at > 0 && text[at - 1] !== '\n' && text[at - 1] !== '\r') at--;
  return at;
}
