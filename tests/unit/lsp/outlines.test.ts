import { expect, it } from 'vitest';
import { Outlines } from '#server/lsp/outlines.ts';

/** Who uses whom is found again when a `use` line has changed, and not with every answer. */

const key = (name: string) => `file:///display/${name}.festoon`;
let looked = 0;
const outlines = new Outlines(() => {
  looked++;
  return 'file:///display/';
});
const lookedFor = (what: () => unknown) => {
  const before = looked;
  what();
  return looked - before;
};

it('keeps who uses whom until a use line changes, a file goes, or folders do', () => {
  outlines.set(key('plan'), 'plan "x"\nuse "parts.festoon"\nplace a\n');
  outlines.set(key('parts'), 'place b\n');
  expect(outlines.usersByFile()).toEqual(new Map([[key('parts'), [key('plan')]]]));
  expect(lookedFor(() => outlines.usersByFile())).toBe(0);

  outlines.set(key('plan'), '# plan "x"\nuse "parts.festoon"\nplace abc\n');
  expect(outlines.isPlan(key('plan'))).toBe(false);
  expect(lookedFor(() => outlines.usersByFile())).toBe(0);

  outlines.set(key('plan'), 'use "other.festoon"\nuse "parts.festoon"\n');
  expect([...outlines.usersByFile().keys()]).toEqual([key('other'), key('parts')]);

  outlines.forgetUsers();
  expect(lookedFor(() => outlines.usersByFile())).toBeGreaterThan(0);

  outlines.delete(key('plan'));
  expect(outlines.usersByFile()).toEqual(new Map());
});
