import { expect, it } from 'vitest';
import { festoon, SMALL } from './console.ts';

/** Every command for one plan says that a plan is not there, and stops before it prints anything else. */
it.each([
  ['solve'],
  ['plan'],
  ['netlist'],
  ['faults'],
  ['diagnose'],
  ['light', 'eaves', '--to', '192.0.2.10'],
  ['report', '--out', 'papers'],
])('festoon %s gone.festoon', (command, ...more) => {
  const { exit, out, err, files } = festoon([command, 'gone.festoon', ...more], {
    files: { '/plans/a.festoon': SMALL },
  });
  expect({ exit, out }).toEqual({ exit: 2, out: '' });
  expect(err).toContain('gone.festoon');
  expect([...files.keys()]).toEqual(['/plans/a.festoon']);
});

it('festoon report wants to know where the papers go', () => {
  const world = { files: { '/plans/a.festoon': SMALL } };
  for (const out of [[], ['--out', '']])
    expect(festoon(['report', 'a.festoon', ...out], world)).toMatchObject({
      exit: 2,
      err: expect.stringContaining('--out DIR'),
    });
});
