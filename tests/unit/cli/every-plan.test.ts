import { describe, expect, it } from 'vitest';
import { everyPlan } from '../../support/every-plan.ts';
import { festoon } from './console.ts';

/**
 * Every plan of the project through every command: each ends with a code that its help names, says nothing that only a
 * fault of ours writes, and what programs read can be read.
 */
const COMMANDS: readonly (readonly string[])[] = [
  ['check', '--checks'],
  ['check', '--format', 'json'],
  ['check', '--format', 'sarif'],
  ['check', '--format', 'junit'],
  ['check', '--format', 'github'],
  ['solve'],
  ['solve', '--format', 'json'],
  ['netlist'],
  ['faults'],
  ['diagnose'],
  ['plan'],
  ['test'],
  ['report', '--out', '/paper', '--date', '2026-11-20'],
  ['format', '--check'],
];

const SILENT: ReadonlySet<string> = new Set(['check --format github', 'solve', 'format --check']);

describe.each(everyPlan())('$name', ({ name, files }) => {
  const world = Object.fromEntries([...files].map(([file, text]) => [`/plans/${file}`, text]));
  const all = [...files.values()].join('\n');

  it.each(COMMANDS.map((args) => [args.join(' '), args] as const))('%s', (_, args) => {
    const terminals = args.length === 1 ? [{}, { columns: 72, colour: true }] : [{}];
    for (const terminal of terminals) {
      const { exit, out, err, files: after } = festoon([...args, 'plan.festoon'], { files: world, ...terminal });
      expect({ exit: [0, 1, 2].includes(exit), err: /^ {4}at /m.test(err) }).toEqual({ exit: true, err: false });
      // Nothing to annotate, to solve or to format needs no word.
      if (!SILENT.has(args.join(' '))) expect(out.length + err.length, `${name} says nothing`).toBeGreaterThan(0);
      const written = [...after].filter(([path]) => !(path in world)).map(([, text]) => String(text));
      for (const text of [out, err, ...written]) holdText(text, all);
      if (args.includes('json') || args.includes('sarif')) expect(() => JSON.parse(out)).not.toThrow();
    }
  });
});

function holdText(text: string, source: string): void {
  const found = /\b(?:NaN|Infinity|undefined)\b|\[object /.exec(text);
  if (found !== null && !source.includes(found[0]))
    throw new Error(text.slice(Math.max(0, found.index - 100), found.index + 100));
}
