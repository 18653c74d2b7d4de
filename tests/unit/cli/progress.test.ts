import { describe, expect, it } from 'vitest';
import { Progress } from '#server/cli/progress.ts';

/** What a terminal shows in one line after so many pieces of work: a return goes back to its start. */
function shownAfter(steps: number, errIsTerminal: boolean, ends = false): string {
  let shown = '';
  const err = (text: string) => {
    for (const part of text.split('\r').slice(1)) shown = part + shown.slice(part.length);
  };
  const progress = new Progress({ err, errIsTerminal });
  for (let step = 0; step < steps; step++) progress.step();
  if (ends) progress.end();
  return shown;
}

describe('the progress of long work', () => {
  it('is told where its own output is a terminal, and taken away in the end', () => {
    expect(shownAfter(1000, true)).toMatch(/^1000 changes of the plan tried/);
    expect(shownAfter(1000, true, true).trim()).toBe('');
  });

  it('is not told of short work, nor into a file or a pipe', () => {
    expect(shownAfter(5, true, true)).toBe('');
    expect(shownAfter(1000, false, true)).toBe('');
  });
});
