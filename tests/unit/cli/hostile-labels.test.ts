import { describe, expect, it } from 'vitest';
import { Host } from '#server/analysis/host.ts';
import { cardMarkdown, cardText } from '#server/ide/card.ts';
import { completeAt } from '#server/ide/completion/complete.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { inlayHintsOf } from '#server/ide/inlay-hints.ts';
import { escapeMarkdown } from '#server/ide/markdown.ts';
import { problemsOf } from '#server/ide/problems.ts';
import { festoon, SMALL } from './console.ts';

/**
 * A plan from anybody, with something nasty in every text that it may hold, through everything that is made of it: no
 * link, picture, tag, command or control sequence that we did not write.
 */
const NASTY: readonly string[] = [
  '<script>alert(1)</script>',
  "<img src='https://evil.example/x.png' onerror='alert(1)'>",
  "<a href='javascript:alert(1)'>x</a>",
  '</title></svg></td></table><b>',
  ']]><!-- --><?x ?>',
  '&lt;b&gt; &#60;i&#62; &amp;',
  '[x](https://evil.example)',
  '![x](https://evil.example/x.png)',
  '[x](command:workbench.evil)',
  '<https://evil.example>',
  'https://evil.example/x',
  '[x]: https://evil.example',
  '`code` **bold** | cell | # head',
  '::error file=x::evil',
  '%0A::error::evil',
  '\u001b[31mevil\u001b]0;evil\u0007',
  '\u009b31mevil',
  '\u202elive\u202c \u2066x\u2069',
  "=cmd|'/c evil'!A1",
  '+1+evil()',
  '-1+evil()',
  '@evil()',
  '\t=evil()',
  '$(evil) $evil %evil%',
  '__proto__',
];

/** The small plan, with a text wherever one may stand; some of its values are wrong, so that findings speak of it too. */
const planWith = (text: string) =>
  SMALL.replace('"Porch"', `"${text}"`)
    .replace('fuse 2 A', 'fuse 500 mA')
    .replace('part pixel bullet', `## ${text}\npart pixel bullet "${text}"`)
    .replace('part cable pair', `part cable pair "${text}"`)
    .replace('part supply small', `part supply small "${text}"`)
    .replace('part controller board', `part controller board "${text}"`)
    .replace('place shed', `## ${text}\nplace shed "${text}"`)
    .replace('place porch', `place porch "${text}"`)
    .replace('circuit garden', `circuit garden "${text}"`)
    .replace('supply psu', `## ${text}\nsupply psu "${text}"`)
    .replace('controller box', `controller box "${text}"`)
    .replace('run porch-edge', `## ${text}\nrun porch-edge "${text}"`)
    .replace('string edge', `string edge "${text}"`)
    .replace('feed porch-feed', `feed porch-feed "${text}"`)
    .concat(`use "${text}"\n${text}\nplace x "${text}" "${text}"\n`);

const MAIN = 'file:///plans/a.festoon';

function analysed(text: string) {
  const host = new Host(() => ({ missing: true }));
  host.setFile(MAIN, text);
  return host.analyse(MAIN);
}

function hovers(text: string, write: typeof cardMarkdown): string {
  const analysis = analysed(text);
  const cards = new Set<string>();
  for (let at = 0; at <= text.length; at += 3) {
    const hover = hoverAt(analysis, MAIN, at);
    if (hover !== undefined) cards.add(write(hover.card));
  }
  return [...cards].join('\n\n');
}

function completions(text: string): string {
  const analysis = analysed(text);
  const found = new Set<string>();
  for (let at = 0; at <= text.length; at += 7)
    for (const { documentation, group } of completeAt(analysis, MAIN, at)?.items ?? [])
      if (group !== 'keyword') found.add(escapeMarkdown(documentation ?? ''));
  return [...found].join('\n\n');
}

const printed = (text: string, ...args: string[]) => {
  const { out, err } = festoon([...args, 'a.festoon'], { files: { '/plans/a.festoon': text } });
  return args.includes('--format') ? out : out + err;
};

function papers(text: string, ending: string): string {
  const files = { '/plans/a.festoon': text };
  const { files: after } = festoon(['report', 'a.festoon', '--out', 'papers'], { files });
  return [...after]
    .filter(([name]) => name.startsWith('/plans/papers') && name.endsWith(ending))
    .map(([, content]) => String(content))
    .join('\n');
}

const difference = (text: string, format: string) =>
  festoon(['diff', 'b.festoon', 'a.festoon', '--format', format], {
    files: { '/plans/a.festoon': text, '/plans/b.festoon': SMALL },
  }).out;

type Kind = (hostile: string, plain: string) => void;

/** Backslashed marks and what stands in code mean nothing; the one picture is ours. */
const markdown: Kind = (hostile, plain) => {
  const ours = new Set(plain.match(/<\/?[a-z]+>/g) ?? []);
  const live = hostile
    .replace(/!\[(?:\\.|[^\]\\])*\]\(data:image\/svg\+xml;base64,[A-Za-z0-9+/=]+\|width=\d+,height=\d+\)/g, '')
    .replace(/^(`{3,})[^\n]*\n[\s\S]*?\n\1$/gm, '')
    .replace(/\\[!-/:-@[-`{-~]/g, '')
    .replace(/(`+)[^`][\s\S]*?\1/g, '')
    .replace(/<\/?[a-z]+>/g, (tag) => (ours.has(tag) ? '' : tag));
  expect(live).not.toMatch(/<[a-z!/?]|\]\(|^\s*\[[^\]]*\]:|https?:\/\/|www\./im);
};

/** The tags and their attributes are among those of a plan without any text. */
const markup: Kind = (hostile, plain) => {
  const shapes = (text: string) =>
    new Set([...text.matchAll(TAG)].map(([, tag, attributes = '']) => `${tag} ${attributes.replace(/="[^"]*"/g, '')}`));
  const ours = shapes(plain);
  expect(ours.size).toBeGreaterThan(2);
  expect([...shapes(hostile)].filter((shape) => !ours.has(shape))).toEqual([]);
  expect(hostile.replace(/<style>[\s\S]*?<\/style>/g, '').replace(TAG, '')).not.toMatch(/[<>]/);
  for (const [, value = ''] of hostile.matchAll(/\b(?:href|src)="([^"]*)"/g)) expect(value).not.toContain('evil');
  expect(hostile.replaceAll('\n', '')).not.toMatch(
    /[\u0000-\u0008\u000e-\u001f\u007f-\u009f\u202a-\u202e\u2066-\u2069]/,
  );
};
const TAG = /<([/?!]?[a-zA-Z][\w:-]*)((?:\s+[\w:-]+(?:="[^"]*")?)*)\s*[/?]?>/g;

const terminal: Kind = (hostile) => expect(hostile.replaceAll('\n', '')).not.toMatch(/[\p{Cc}\p{Cf}\p{Zl}\p{Zp}]/u);

const json: Kind = (hostile) => {
  expect(typeof JSON.parse(hostile)).toBe('object');
  terminal(hostile, '');
};

const annotations: Kind = (hostile) => {
  for (const line of hostile.trim().split('\n')) expect(line).toMatch(/^::(?:error|warning|notice) file=[^:]*::/);
  terminal(hostile, '');
};

/** A table program takes a cell for a formula by its first sign; numbers may have theirs. */
const cells: Kind = (hostile) => {
  for (const [, quoted, bare] of hostile.matchAll(/(?:^|,)(?:"((?:[^"]|"")*)"|([^",\r\n]*))(?=,|\r?\n|$)/gm)) {
    const cell = quoted ?? bare ?? '';
    if (/^[=+\-@\t\r]/.test(cell)) expect(cell).toMatch(/^[-+]?\d+(?:\.\d+)?$/);
  }
};

const OUTPUTS: readonly (readonly [string, (text: string) => string, Kind])[] = [
  ['hover', (text) => hovers(text, cardMarkdown), markdown],
  ['completion', completions, markdown],
  ['check', (text) => printed(text, 'check'), terminal],
  ['check as JSON', (text) => printed(text, 'check', '--format', 'json'), json],
  ['check as SARIF', (text) => printed(text, 'check', '--format', 'sarif'), json],
  ['check as annotations', (text) => printed(text, 'check', '--format', 'github'), annotations],
  ['check as JUnit', (text) => printed(text, 'check', '--format', 'junit'), markup],
  ['solve', (text) => printed(text, 'solve'), terminal],
  ['solve as JSON', (text) => printed(text, 'solve', '--format', 'json'), json],
  ['netlist', (text) => printed(text, 'netlist'), terminal],
  ['faults', (text) => printed(text, 'faults'), terminal],
  ['diff', (text) => difference(text, 'text'), terminal],
  ['diff as Markdown', (text) => difference(text, 'markdown'), markdown],
  ['diff as JSON', (text) => difference(text, 'json'), json],
  ['diff as HTML', (text) => difference(text, 'html'), markup],
  ['papers and labels', (text) => papers(text, '.html'), markup],
  ['drawings', (text) => papers(text, '.svg'), markup],
  ['tables', (text) => papers(text, '.csv'), cells],
];

describe.each(OUTPUTS)('%s', (_, make, holds) => {
  const plain = make(planWith('plain'));

  it('says something of the plan', () => {
    expect(plain.length).toBeGreaterThan(100);
  });

  it.each(NASTY.map((text) => [JSON.stringify(text), text] as const))('with %s', (__, text) => {
    holds(make(planWith(text)), plain);
  });
});

describe('what an editor shows as plain text', () => {
  it.each(NASTY.map((text) => [JSON.stringify(text), text] as const))('is not markup with %s', (_, text) => {
    const analysis = analysed(planWith(text));
    const hints = inlayHintsOf(analysis, MAIN, { start: 0, end: 1e6 }).map((hint) => hint.text);
    expect(hints.length).toBeGreaterThan(1);
    expect(hints.join(' ')).not.toMatch(/evil|alert|script/);
    expect(problemsOf(analysis, MAIN).length).toBeGreaterThan(2);
    expect(hovers(planWith(text), cardText).length).toBeGreaterThan(100);
  });
});
