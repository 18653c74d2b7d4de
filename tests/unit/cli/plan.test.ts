import { describe, expect, it } from 'vitest';
import { formatText } from '#grammar/format.ts';
import { NOTHING } from '#server/planning/display-cost.ts';
import { proofText } from '#server/planning/proof-text.ts';
import { festoon } from './console.ts';

/** festoon plan: what it proposes, what it prints, what it writes. */

const PARTS = `part pixel bullet {
  voltage 12 V
  least 10.8 V
  red 18.5 mA  knee 7.2 V  dark 6 V
  green 18.5 mA  knee 10.4 V  dark 9.6 V
  blue 18.5 mA  knee 10.4 V  dark 9.6 V
  wire 18 AWG
}
part cable lead {
  conductor 18 AWG
  carries V+ ground data
}
part cable thick {
  conductor 12 AWG
  carries V+ ground
}
part supply psu-part {
  voltage 12 V
  rated 60 A
}
part controller board {
  ports 4
  port-fuse 5 A
}
`;

/** Two runs that sag, on a roof to which so many more cables may go; two leads go there already. */
const plan = (more: number) =>
  formatText(`${PARTS}place shed
place roof
route shed to roof  4 m  limit ${2 + more} cables
supply psu  of psu-part  at shed {
  set 12.3 V
  output 1  fuse 15 A
}
controller box  of board  at shed  from psu.1
run left  from box.1  at roof {
  lead along shed to roof  of lead
  string one  45 px  of bullet  every 80 mm
  string two  45 px  of bullet  every 80 mm
}
run right  from box.2  at roof {
  lead along shed to roof  of lead
  string one  40 px  of bullet  every 80 mm
  string two  40 px  of bullet  every 80 mm
}
`);

const world = (text: string) => ({ files: { '/plans/a.festoon': text }, columns: 100 });

describe('festoon plan', () => {
  it('proposes feeds, shows before and after, and writes nothing unasked', () => {
    const { exit, out, err, files } = festoon(['plan', 'a.festoon'], world(plan(2)));
    expect({ exit, err }).toEqual({ exit: 0, err: '' });
    expect(out).toMatch(
      /roof-board {2}One trunk to roof, 5 m of thick, for 2 feeds: 1 cable through limited routes, not 2\n/,
    );
    expect(out).toMatch(/left {2}Inject at left\./);
    expect(out).toMatch(/right {2}Inject at right\./);
    expect(out).toMatch(/\+ feed left-\S+ {2}from roof-board\.\d/);
    expect(out).toMatch(/shed to roof +2 +3 +4/);
    // 4 m and half a metre of slack at both ends to the board; a metre, which is slack alone, from there to each run.
    expect(out).toMatch(/Cable of all feeds and boards: none before, 7 m after/);
    expect(out).toContain('Proven');
    expect(out).toContain('Disconnect before touching');
    expect(files.get('/plans/a.festoon')).toBe(plan(2));
  });

  it('shows the line that another one takes the place of', () => {
    const text = plan(2).replace(/( *)output( +)1 .*/, '$&\n$1output$22  fuse 100 mA');
    const { out } = festoon(['plan', 'a.festoon'], world(text));
    expect(out).toMatch(/ - +output +2 +fuse 100 mA\n/);
    expect(out).toMatch(/ \+ +output +2 +fuse \S+ A\n/);
  });

  it('writes a plan that checks clean, is formatted, and leaves nothing to propose', () => {
    const { exit, files } = festoon(['plan', '--write', 'a.festoon'], world(plan(2)));
    expect(exit).toBe(0);
    const text = String(files.get('/plans/a.festoon'));
    expect(formatText(text)).toBe(text);
    expect(festoon(['check', 'a.festoon'], world(text)).exit).toBe(0);
    expect(festoon(['plan', 'a.festoon'], world(text)).out).toMatch(/^Nothing is wanting/);
  });

  it('puts a trunk where the limit of a route leaves no room for a feed to each run', () => {
    const { exit, out } = festoon(['plan', 'a.festoon'], world(plan(1)));
    expect(exit).toBe(0);
    expect(out).toMatch(/for 2 feeds: with feeds of their own from psu, 1 run would stay wanting\n/);
    expect(out).toMatch(/shed to roof +2 +3 +3/);
  });

  it('proposes another supply where no cable can go, and says that it needs mains', () => {
    const { exit, out, files } = festoon(['plan', '--write', 'a.festoon'], world(plan(0)));
    expect(exit).toBe(0);
    expect(out.replace(/\s+/g, ' ')).toMatch(
      /roof-psu Another supply at roof, psu-part, V\+ of left cut before \S+: .* A proposal: it needs mains at roof/,
    );
    expect(out).toContain('for a licensed electrician and local codes');
    // There are amperes enough, but no way to the roof.
    expect(out).toContain('That it cannot be done with fewer supplies is not proven.\n');
    expect(out).toMatch(/shed to roof +2 +2 +2/);
    const text = String(files.get('/plans/a.festoon'));
    expect(text).toMatch(/^supply roof-psu {2}of psu-part {2}at roof \{\n {2}set {5}12\.3 V\n/m);
    expect(formatText(text)).toBe(text);
    expect(festoon(['check', 'a.festoon'], world(text)).exit).toBe(0);
  });

  it('proves nothing by the types that the plan has one of, where a larger one is described', () => {
    // Each run draws 7.2 A (130 px of 55.5 mA). A supply of 10 A gives 8 A, enough for one of them; three ask for two
    // more of these, or for one of 60 A.
    const runs = [1, 2, 3].map(
      (number) => `run side-${number}  from box.${number} {
  lead 1 m  of lead
  string one  65 px  of bullet  every 50 mm
  string two  65 px  of bullet  every 50 mm
}
`,
    );
    const text = `${PARTS.replace('V+ ground data', 'ground data').replace('18 AWG', '14 AWG')}part supply small {
  voltage 12 V
  rated 10 A
}
supply psu  of small {
  output 1  fuse 3 A
  output 2  fuse 10 A
}
controller box  of board  from psu.1
${runs.join('')}`;
    const said = (plan: string) => festoon(['plan', 'a.festoon'], world(plan)).out.replace(/\s+/g, ' ');
    expect(said(text)).toContain('fewer supplies is not proven. At least 1 more supply has to be added.');
    expect(said(text.replace('rated 60 A', 'rated 9 A'))).toContain('At least 2 more supplies have to be added, for');
  });

  it('says that fewer supplies would not do where the power is lacking', () => {
    // 170 px of 55.5 mA are 9.4 A. Held at 110 % of 8 A, the supply gives 8.8 A: the rest has to come from another.
    const { exit, out } = festoon(
      ['plan', 'a.festoon'],
      world(plan(2).replace('60 A', '8 A').replaceAll('80 mm', '20 mm')),
    );
    expect(exit).toBe(0);
    expect(out.replace(/\s+/g, ' ')).toContain('Proven in part. At least 1 more supply has to be added');
  });

  it('says which run stays wanting and why', () => {
    const text = plan(2).replace('run right  from box.2  at roof', '$&  no-tap');
    const { exit, out } = festoon(['plan', 'a.festoon'], world(text));
    expect(exit).toBe(1);
    expect(out.match(/Inject at/g)).toHaveLength(1);
    expect(out).toMatch(/right stays wanting: right is marked no-tap/);
  });

  it('says what stays wrong that no injection cures', () => {
    expect(festoon(['plan', 'a.festoon'], world(plan(2))).out).toContain('Nothing else is wrong with the plan then.');
    // 90 and 80 pixels, where a port has the data for 60.
    const text = formatText(plan(2).replace('port-fuse', 'port-pixels 60 px\n  port-fuse'));
    const { exit, out } = festoon(['plan', 'a.festoon'], world(text));
    expect(exit).toBe(0);
    expect(out).toMatch(/Still wrong then\n.*port-pixels/);
    expect(out).toContain('festoon check a.festoon');
    const told = JSON.parse(festoon(['plan', '--json', 'a.festoon'], world(text)).out);
    expect(told.findingsLeft.map(({ code, about }: { code: string; about: string }) => `${code} ${about}`)).toEqual([
      'port-pixels left',
      'port-pixels right',
    ]);
  });

  it.each([
    ['a line', 'string one  45 px', 'string one  px', ['run left', 'This string still needs how many pixels.']],
    ['a name', 'of bullet  every', 'of bulet  every', ['run left', 'There is no pixel part "bulet".']],
    ['a port', 'run left  from box.1', 'run left  from box.9', ['run left', 'Which port of box? It has 4']],
    ['a statement', 'run left', 'ran left', ['ran left', '"ran" is not a word that starts a line']],
    ['a file', 'place shed', 'use "more.festoon"\nplace shed', ['use', 'There is no file "more.festoon"']],
    [
      'a part',
      'wire 18 AWG',
      'wire 18 WG',
      ['part pixel bullet', '"WG" is not a unit', 'run left', 'The line "string one" stands on something else'],
    ],
  ] as const)('says what it could not look at, and why: %s', (_, good, bad, said) => {
    const [first, ...sound] = plan(2).split(/^(?=run right)/m);
    expect(sound).toHaveLength(1);
    const text = `${first}`.replaceAll('45 px', '5 px').replace(/ +/g, ' ');
    const [before, after] = [text, text.replace(good.replace(/ +/g, ' ').replace('45', '5'), bad)];
    expect(after).not.toBe(before);
    expect(festoon(['plan', 'a.festoon'], world(before))).toMatchObject({
      exit: 0,
      out: 'Nothing is wanting: every run has its voltage.\n',
    });
    const { exit, out } = festoon(['plan', 'a.festoon'], world(after));
    expect(exit).toBe(1);
    expect(out).toMatch(/^Nothing is wanting in what could be looked at\.\n\nNot looked at\n/);
    const lines = out.split('\n').map((line) => line.trim());
    for (const words of said) expect(lines).toContainEqual(expect.stringContaining(words));
    const told = JSON.parse(festoon(['plan', '--json', 'a.festoon'], world(after)).out);
    expect(told.isProven).toBe(false);
    expect(told.notLookedAt).toContainEqual({ about: said[0], reason: expect.stringContaining(said[1]) });
  });

  it.each([
    ['wire 18 AWG', 'wire 0.3 mm2'],
    ['conductor 18 AWG', 'conductor 30 AWG'],
    ['conductor 12 AWG', 'conductor 0.4 mm2'],
  ])('plans with parts of which nothing says what they carry: %s is %s', (known, unknown) => {
    expect(PARTS).toContain(known);
    const { exit, out, err } = festoon(['plan', 'a.festoon'], world(plan(2).replace(known, unknown)));
    expect({ exit, err }).toEqual({ exit: 0, err: '' });
    expect(out).toMatch(/left {2}Inject at left/);
  });

  it('names eight things that it could not look at, and how many there are besides', () => {
    const strays = (number: number) =>
      Array.from({ length: number }, (_, i) => `bond b${i}  from nowhere to box  1 m  of lead\n`);
    const said = (number: number) => festoon(['plan', 'a.festoon'], world(plan(1) + strays(number).join(''))).out;
    const named = (out: string) => out.match(/^ {2}bond b\d+$/gm)?.length;
    expect(named(said(8))).toBe(8);
    expect(said(8)).not.toContain('… and');
    expect(named(said(11))).toBe(8);
    expect(said(11)).toContain('  … and 3 more of them.\n');
  });

  it('takes a supply at exactly what the pixels accept at most', () => {
    // Where the part does not say, 15 % over 12 V are accepted: 13.8 V. Below 20 % under, 9.6 V, they would stay dark.
    const dark = (volts: number) =>
      `${PARTS.replace('V+ ground data', 'ground data').replace('least 10.8 V', 'least 9 V')}supply psu  of psu-part {
  set ${volts} V
  output 1  fuse 15 A
  output 2  fuse 15 A
}
controller box  of board  from psu.1
run left  from box.1 {
  lead 1 m  of lead
  string one  5 px  of bullet  every 80 mm
}
`;
    for (const [volts, exit] of [
      [13.8, 0],
      [13.81, 1],
      [9.6, 0],
      [9.59, 1],
    ] as const)
      expect(festoon(['plan', 'a.festoon'], world(dark(volts)))).toMatchObject({ exit });
  });

  it('plans the other runs all the same', () => {
    const { exit, out } = festoon(['plan', 'a.festoon'], world(plan(2).replace('of bullet', 'of bulet')));
    expect(exit).toBe(1);
    expect(out).toMatch(/^left +Inject at|^right +Inject at/m);
    expect(out).toContain('Not looked at\n  run left\n    There is no pixel part "bulet".');
    expect(out).toContain('Nothing is proven, since some of the plan could not be looked at.');
    expect(out).not.toContain('Proven');
  });

  it('says that floods which want power take a feed', () => {
    // 1 A over 41 m of 18 AWG, there and back (21 mohm/m, ASTM B258), loses 1.7 V of 12.3 V: 10.6 V are left of 10.8 V.
    const flood = `part flood wash {
  voltage 12 V
  least 10.8 V
  draws 1 A  knee 6 V  dark 5 V
  cord 1 m  of 18 AWG
}
flood wall  1  of wash  at shed
feed wall  from psu.1  to wall  40 m  of lead
`;
    const { exit, out } = festoon(['plan', 'a.festoon'], world(plan(2).replace(/^run .*/ms, flood)));
    expect(out).toMatch(/^No injection helps.\nwall stays wanting: each flood has a plug of its own, and takes a feed/);
    expect(exit).toBe(1);
  });

  it('tells programs the same', () => {
    const { exit, out } = festoon(['plan', '--json', 'a.festoon'], world(plan(2)));
    const told = JSON.parse(out);
    expect(exit).toBe(0);
    expect(told.materialIn).toBe('m3 of copper');
    expect(told.cost).toMatchObject({ unserved: 0, limitedCables: 1, taps: 3 });
    expect(told.bound).toMatchObject({ unserved: 0, limitedCables: 1, taps: 3 });
    for (const run of told.runs) {
      expect(run.leastVoltsBefore).toBeLessThan(10.8);
      expect(run.leastVoltsAfter).toBeGreaterThanOrEqual(10.8);
    }
    expect(told.files[0].name).toBe('a.festoon');
  });

  it('leaves the comment behind a statement where it stands', () => {
    const text = plan(2).replaceAll(/^\}$/gm, '}  # as built');
    const { files } = festoon(['plan', '--write', 'a.festoon'], world(text));
    const made = String(files.get('/plans/a.festoon'));
    expect(made).toMatch(/^board roof-board .*\{$/m);
    expect(made.match(/^\} {2}# as built$/gm)).toHaveLength(text.match(/# as built/g)?.length ?? 0);
  });

  it('keeps the line ends of a file', () => {
    const { files } = festoon(['plan', '--write', 'a.festoon'], world(plan(2).replaceAll('\n', '\r\n')));
    expect(String(files.get('/plans/a.festoon')).replaceAll('\r\n', '')).not.toContain('\n');
  });
});

describe('how far the answer may be from the best one', () => {
  const told = (cost: Partial<typeof NOTHING>, bound: Partial<typeof NOTHING>, currency?: string) =>
    proofText({ cost: { ...NOTHING, ...cost }, bound: { ...NOTHING, ...bound }, currency });

  it('is told by the first thing that is not proven', () => {
    expect(told({ unserved: 1, supplies: 1 }, {})).toBe('That no plan serves every run is not proven.');
    expect(told({ supplies: 2, limitedCables: 4 }, {})).toBe(
      'That it cannot be done with fewer supplies is not proven.',
    );
    expect(told({ supplies: 2, limitedCables: 4 }, { supplies: 1 })).toBe(
      'That it cannot be done with fewer supplies is not proven. At least 1 more supply has to be added.',
    );
    expect(told({ limitedCables: 4, taps: 3 }, { limitedCables: 2 })).toMatch(
      /^Not proven least\. .* 4 cables through limited routes may be more than needed; at least 2\.$/,
    );
    expect(told({ limitedCables: 2, taps: 3, material: 5 }, { limitedCables: 2, taps: 1 })).toMatch(
      /^Proven in part\. .* no answer has fewer cables through limited routes\. 3 taps and boards may be more than needed; at least 1\.$/,
    );
  });

  it('is told as a share of the material, which is money where all cables have a price', () => {
    const same = { limitedCables: 2, taps: 3 };
    expect(told({ ...same, material: 6 }, { ...same, material: 6 })).toMatch(
      /^Proven\. .* then fewer taps and boards, then less copper\.$/,
    );
    expect(told({ ...same, material: 6 }, { ...same, material: 6 }, 'EUR')).toMatch(/, then less money for cable\.$/);
    // 6 is a fifth more than 5; of nothing there is no share.
    expect(told({ ...same, material: 6 }, { ...same, material: 5 })).toMatch(
      /^Proven in part\. .* The copper may be more than the least by 20 % at most\.$/,
    );
    expect(told({ ...same, material: 6 }, same)).toMatch(/ by any amount at most\.$/);
  });
});

describe('a plan that no injection helps', () => {
  const wanting = plan(2).replaceAll('at roof {', 'at roof  no-tap {');

  it('says so, and what else is wrong, the worst eight of it', () => {
    const { exit, out } = festoon(['plan', 'a.festoon'], world(wanting));
    expect(exit).toBe(1);
    expect(out).toMatch(
      /^No injection helps\.\nleft stays wanting: left is marked no-tap\.\nright stays wanting: right is/,
    );
    const empty = Array.from({ length: 9 }, (_, index) => `run idle-${index}  from box.3 {\n}\n`).join('');
    expect(festoon(['plan', 'a.festoon'], world(`${wanting}${empty}`)).out).toMatch(
      /\n {2}… and \d+ more findings?\.\n/,
    );
  });

  it('has no share of a rating that is not known, and counts no cables on a route without a limit', () => {
    const text = plan(2)
      .replace(/rated +60 A/, '')
      .replace(/ +limit 4 cables/, '')
      .replace('place shed', 'place shed\nplace yard\nroute shed to yard  3 m  limit 1 cables');
    const { out } = festoon(['plan', 'a.festoon'], world(text));
    expect(out).toMatch(/\n {2}psu +\S+ A +\S+ A\n/);
    expect(out).toMatch(/shed to yard +0 +0 +1\n/);
    expect(out).not.toContain('shed to roof  ');
  });
});
