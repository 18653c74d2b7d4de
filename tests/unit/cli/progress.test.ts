import { describe, expect, it } from 'vitest';
import type { Io } from '#server/cli/io.ts';
import { Progress } from '#server/cli/progress.ts';

/** What a terminal shows in one line after so many pieces of work: a return goes back to its start. */
function shownAfter(steps: number, columns: number | undefined, ends = false): string {
  let shown = '';
  const err = (text: string) => {
    for (const part of text.split('\r').slice(1)) shown = part + shown.slice(part.length);
  };
  const progress = new Progress({ err, columns } as Partial<Io> as Io);
  for (let step = 0; step < steps; step++) progress.step();
  if (ends) progress.end();
  return shown;
}

describe('the progress of long work', () => {
  it('is told on a terminal, and taken away in the end', () => {
    expect(shownAfter(1000, 80)).toMatch(/^1000 changes of the plan tried/);
    expect(shownAfter(1000, 80, true).trim()).toBe('');
  });

  it('is not told of short work, nor where there is no terminal', () => {
    expect(shownAfter(5, 80, true)).toBe('');
    expect(shownAfter(1000, undefined, true)).toBe('');
  });
});
