import { describe, expect, it } from 'vitest';
import type { Analysis } from '#server/analysis/analysis.ts';
import type { Card } from '#server/ide/card.ts';
import { pixelCard, runCard } from '#server/ide/cards/run-card.ts';
import { completeAt } from '#server/ide/completion/complete.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { renameAt } from '#server/ide/rename.ts';
import { cursorAt, DISPLAY } from '../../support/display.ts';
import { edited, marked } from '../../support/marked.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';

/** The display with a dark pixel behind its 100, and a second board. */
const PLAN = DISPLAY.replace(
  '  outline gable',
  '  null    2 px  of dim-12\n  outline gable',
).concat(`controller shed-box  of data-board  at shed {
  universes from 7
}
run quay  from shed-box.1  universe 9 slot 4 {
  lead   1 m  of lead-18
  string 171 px  of steady-5  every 10 mm
}
part pixel dim-12 {
  voltage  12 V
  red      60 mA  knee 6 V  dark 5 V
  idle     1 mA
  wire     18 AWG
  rated    30 A
}
`);

function facts({ facts: all }: Card): Record<string, string> {
  return Object.fromEntries(
    all.map(({ label, value, note }) => [label, note === undefined ? value : `${value} (${note})`]),
  );
}

function cardAt(plan: string, word: string): Record<string, string> {
  const { analysis, uri, offset } = marked(cursorAt(plan, word));
  const card = hoverAt(analysis, uri, offset)?.card;
  if (card === undefined) throw new Error(`nothing at ${word}`);
  return facts(card);
}

const fail = (why: string): never => {
  throw new Error(why);
};

const analysisOf = (plan: string): Analysis => marked(`|${plan}`).analysis;

describe('the hover', () => {
  it('on a run tells the margin of its data and its addresses', () => {
    // 6 A through the lead's ground, 42.7 mohm, and one pitch of 2.14 mohm lift the first pixel by 0.269 V. It reads a one
    // above 0.7 x 5 V: 5 - 0.269 - 3.5 = 1.23 V are left.
    expect(cardAt(DISPLAY, 'eaves')).toMatchObject({
      'data margin':
        '1.23 V at pixel 1 (5.00 V from the port, read as a one above 3.50 V (70 %); at least 0.40 V should be left, default, the noise margin of TTL: 2.4 V sent, 2.0 V read)',
      addresses: 'universe 1 slots 1 to 300 (automatic, in the order of the plan)',
    });
    // 171 px from slot 4 on: 169 fill the universe to slot 510, two more take six slots of the next.
    expect(cardAt(PLAN, 'quay  from')).toMatchObject({ addresses: 'universe 9 slot 4 to universe 10 slot 6 (pinned)' });
  });

  it('on a run counts dark pixels among its own, and gives them time but no address', () => {
    // 60 px on 6 m, 2 on 0.2 m, 40 on 4 m; 102 x 30 us and 300 us of pause; 100 px x 3 slots.
    expect(cardAt(PLAN, 'eaves')).toMatchObject({
      pixels: '102 on 10.2 m, 2 of them dark',
      'frame time': '3.4 ms (of 40.0 ms at 25 fps)',
      addresses: 'universe 1 slots 1 to 300 (automatic, in the order of the plan)',
    });
    const analysis = analysisOf(PLAN);
    const eaves = analysis.plan.runs.get('eaves');
    if (eaves === undefined) throw new Error('the run is gone');
    const at = (pixel: number) => facts(pixelCard(analysis, eaves, pixel));
    expect(at(60)).toMatchObject({ address: 'universe 1 slot 178' });
    expect(at(61)).toMatchObject({ address: 'none (a dark pixel has no address)', current: '1 mA' });
    expect(at(63)).toMatchObject({ address: 'universe 1 slot 181', current: '60 mA' });
  });

  it('on a run follows its address and the design while nothing of its own is edited', () => {
    const plan = `${DISPLAY}
supply quay-psu  of bench-12  at shed {
  output 1  fuse 10 A
}
controller quay-box  of board  at shed  from quay-psu.1
run quay  from quay-box.1 {
  lead   1 m  of lead-18
  string 40 px  of steady-12  every 10 mm
}
`;
    const { host } = analysePlan(plan);
    const factsOf = (text: string) => {
      host.setFile(MAIN, text);
      const analysis = host.analyse(MAIN);
      const quay = analysis.plan.runs.get('quay');
      return facts(runCard(analysis, quay ?? fail('the run is gone')));
    };
    // 40 px x 3 slots, in the universe behind that of the 100 px of the first board. 200 px fill one and begin another.
    expect(factsOf(plan)).toMatchObject({
      addresses: 'universe 2 slots 1 to 120 (automatic, in the order of the plan)',
    });
    const longer = plan.replace('gutter  60 px', 'gutter  160 px');
    expect(factsOf(longer)).toMatchObject({
      addresses: 'universe 3 slots 1 to 120 (automatic, in the order of the plan)',
    });
    // 40 x 30 us and 300 us of pause.
    expect(factsOf(longer)).toMatchObject({ 'frame time': '1.5 ms (of 40.0 ms at 25 fps)' });
    expect(factsOf(longer.replace('25 fps', '50 fps'))).toMatchObject({
      'frame time': '1.5 ms (of 20.0 ms at 50 fps)',
    });
  });

  it('on a controller tells its universes and what they make on the network', () => {
    // 704 bytes a universe: 5,632 bits, 25 times a second.
    expect(cardAt(PLAN, 'box  of')).toMatchObject({
      universes: '1',
      network: '141 kbps in 25 packets a second (0.14 % of 100 Mbps, default, IEEE 802.3: 100BASE-TX)',
    });
    expect(cardAt(PLAN, 'shed-box  of')).toMatchObject({ universes: '9 to 10' });
  });

  it('on parts tells every value of the data side and where it comes from', () => {
    expect(cardAt(PLAN, 'dim-12 {')).toMatchObject({
      data: '24 bits at 800 kHz, pause 300 us (default, common practice)',
      'time on the wire': '30 us (each pixel)',
      slots: '3 (default, one for each colour of red, green, blue)',
      'longest gap': '5 m (default, common practice: 3 to 5 m)',
      logic: '5.00 V (default, common practice: pixels above 5.5 V regulate their logic to 5 V)',
      'reads a one above': '70 % (default, datasheets of the WS2812B and its kin)',
    });
    const stated = PLAN.replace(
      '  idle     1 mA',
      '  idle     1 mA\n  data     32 bits at 1 MHz clocked\n  white    1 mA\n  slots    5\n  gap-limit 2 m\n  logic    3.3 V  threshold 60 %',
    );
    expect(cardAt(stated, 'dim-12 {')).toMatchObject({
      data: 'clocked, 32 bits at 1000 kHz, start 32 bits, end 0.5 bits a pixel',
      slots: '5',
      'longest gap': '2 m',
      logic: '3.30 V',
      'reads a one above': '60 %',
    });
  });
});

describe('completion', () => {
  const labels = (plan: string) => {
    const { analysis, uri, offset } = marked(plan);
    return (completeAt(analysis, uri, offset, false)?.items ?? []).map((item) => item.label);
  };

  it('offers the words of the data side where they may stand', () => {
    expect(labels('controller box of board {\n  |\n}\n')).toContain('universes');
    expect(labels('run r from box.1 {\n  |\n}\n')).toContain('null');
    expect(labels(`${DISPLAY}run r  from box.2 uni|`)).toContain('universe');
    expect(labels(PLAN.replace('of dim-12', 'of |'))).toEqual(expect.arrayContaining(['dim-12', 'steady-12']));
    expect(labels('part pixel p {\n  |\n}\n')).toEqual(
      expect.arrayContaining(['data', 'dmx', 'slots', 'gap-limit', 'logic']),
    );
    expect(labels('plan {\n  |\n}\n')).toEqual(expect.arrayContaining(['network', 'data-margin']));
  });
});

it('a pixel part is renamed in null lines too', () => {
  const { analysis, uri, text, offset } = marked(cursorAt(PLAN, 'dim-12 {'));
  const found = renameAt(analysis, uri, offset, 'dark-12');
  if ('refused' in found) throw new Error('it cannot be renamed');
  const after = edited(text, found);
  expect(after).toContain('null    2 px  of dark-12');
  expect(after).not.toContain('dim-12');
});

it('a gap that is too long offers a dark pixel in its middle, after which the plan is sound', () => {
  const plan = PLAN.replace('  null    2 px  of dim-12', '  gap     6 m');
  const analysis = analysisOf(plan);
  const finding = analysis.findings.find(({ code }) => code === 'gap-too-long');
  if (finding === undefined) throw new Error('it is not found');
  const [fix] = analysis.fixesOf(finding);
  expect(fix?.title).toBe('Put a null pixel in the middle of the gap');
  const [edit] = fix?.edits ?? [];
  expect(edit?.text).toBe('gap 3 m\n  null 1 px  of steady-12\n  gap 3 m');
  expect(analysisOf(plan.replace('gap     6 m', edit?.text ?? '')).findings.map(({ code }) => code)).not.toContain(
    'gap-too-long',
  );
});
