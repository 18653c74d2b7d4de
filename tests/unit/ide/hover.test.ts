import { describe, expect, it } from 'vitest';
import type { Card } from '#server/ide/card.ts';
import { cardMarkdown, cardText } from '#server/ide/card.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { cursorAt, DISPLAY, FED } from '../../support/display.ts';
import { marked, shown } from '../../support/marked.ts';
import { NULL_AT_END } from '../../support/parts.ts';

function hover(plan: string) {
  const { analysis, uri, text, offset } = marked(plan);
  const found = hoverAt(analysis, uri, offset);
  return { card: found?.card, place: shown(text, found) };
}

/** The card at a word of the display. */
function cardAt(text: string, word: string, into = 0): Card {
  const { card } = hover(cursorAt(text, word, into));
  if (card === undefined) throw new Error(`nothing at ${word}`);
  return card;
}

/** Facts as "value (note)" by label. */
function facts(card: Card): Record<string, string> {
  return Object.fromEntries(
    card.facts.map(({ label, value, note }) => [label, note === undefined ? value : `${value} (${note})`]),
  );
}

describe('hover on a run', () => {
  const card = cardAt(DISPLAY, 'eaves');

  it('tells what was reckoned by hand', () => {
    expect(facts(card)).toMatchObject({
      pixels: '100 on 10 m',
      load: '6.00 A',
      'least voltage': '10.17 V at pixel 100 (steady-12 needs 10.80 V; 0.63 V too little)',
      // 6 A of the board's 30 A port fuse.
      port: 'box.1 passes 6.00 A (20 % of its 30 A fuse)',
      // 100 pixels x 24 bits at 800 kHz are 3 ms, and the pause of 0.3 ms; a frame at 25 fps lasts 40 ms.
      'frame time': '3.3 ms (of 40.0 ms at 25 fps)',
      // 6 A through the 2 m of the lead's ground, 42.7 mohm.
      'ground at the first pixel': '0.26 V above the controller',
    });
  });

  it('shows label, description and conditions', () => {
    expect(card).toMatchObject({ kind: 'run', name: 'eaves', label: 'Long edge' });
    expect(card.description).toBe('The long edge of the roof,\nthen round the gable.');
    expect(card.notes).toEqual(['Computed for full-white at 100 %, air at 20 °C.']);
  });

  it('draws the voltage along it and says the same in words', () => {
    expect(card.picture?.alt).toBe(
      'Voltage along eaves: 11.44 V at pixel 1, least 10.17 V at pixel 100, 10.17 V at pixel 100; needs 10.8 V; power comes in at box.1.',
    );
    expect(cardMarkdown(card)).toMatch(
      /!\[Voltage along eaves[^\]]*\]\(data:image\/svg\+xml;base64,[A-Za-z0-9+/=]+\|width=\d+,height=\d+\)/,
    );
  });

  it('is the same where the run is used', () => {
    const text = `${DISPLAY}feed back  from psu.2  to eaves.end  20 m  of feed-14\n`;
    const { card: used, place } = hover(cursorAt(text, 'eaves.end'));
    expect(place).toBe('feed back  from psu.2  to ‹eaves›.end  20 m  of feed-14');
    expect(used?.name).toBe('eaves');
  });

  it('lists the feeds with what they bring', () => {
    expect(facts(cardAt(FED, 'eaves'))).toMatchObject({
      'feed trunk': '6.00 A at eaves',
      port: 'box.1 (data and ground only)',
    });
  });
});

describe('hover on things of the plan', () => {
  it('a supply: load, share of its rating, its outputs and who uses them', () => {
    expect(facts(cardAt(DISPLAY, 'psu'))).toMatchObject({
      part: 'bench-12',
      'set to': '12.00 V',
      'stands at': 'shed (Tool shed)',
      'plugged into': 'garden',
      load: '6.00 A, 72 W (6 % of its 100 A; planned up to 80 %)',
      // 6.001 A x 1 mohm below 12 V.
      'voltage under load': '11.99 V',
      'output 1': '6.00 A of 10 A (60 %), box',
      'output 2': 'free, fuse 7.5 A',
    });
  });

  it('an output, where it is declared and where it is used', () => {
    const expected = {
      fuse: '10 A (cold resistance 1 mohm)',
      load: '6.00 A (60 % of its fuse; planned up to 80 %)',
      feeds: 'controller box',
    };
    expect(facts(cardAt(DISPLAY, 'psu.1', 4))).toMatchObject(expected);
    expect(facts(cardAt(DISPLAY, 'output 1', 7))).toMatchObject(expected);
  });

  it('each of several outputs that are declared together', () => {
    const text = `${DISPLAY}feed back  from psu.3  to eaves.end  20 m  of feed-14\n`;
    expect(cardAt(text, 'psu.3', 4)).toMatchObject({ kind: 'output', name: 'psu.3' });
  });

  it('a feed: current, drop, share of fuse and cable', () => {
    expect(facts(cardAt(FED, 'trunk'))).toMatchObject({
      from: 'psu.3 (fuse 10 A)',
      current: '6.00 A (60 % of the fuse)',
      'drop in its cables': '0.68 V (6 % of 12.00 V, both conductors)',
      cable: '10 m of feed-14 (6.00 A, 40 % of 15 A)',
      tap: '6.00 A at eaves',
    });
  });

  it('a controller and its ports', () => {
    expect(facts(cardAt(DISPLAY, 'box'))).toMatchObject({
      ports: '1 of 8 in use',
      'port 1': 'eaves, 100 pixels (6.00 A, 20 % of its 30 A fuse)',
    });
    expect(cardAt(DISPLAY, 'box.1', 4)).toMatchObject({ kind: 'port', name: 'box.1' });
  });

  it('a place and the routes from it, with cables against the limit', () => {
    expect(facts(cardAt(DISPLAY, 'roof'))).toMatchObject({ runs: 'eaves', 'route to shed': '1 m (1 of 2 cables)' });
    expect(facts(cardAt(DISPLAY, 'route'))).toMatchObject({ cables: '1 of 2 cables', 'they are': 'the lead of eaves' });
  });

  it('a circuit: its supplies and its load', () => {
    // 72 W / 0.85 / 0.55 / 120 V = 1.28 A.
    expect(facts(cardAt(DISPLAY, 'garden'))).toMatchObject({
      breaker: '15 A (120 V mains)',
      load: '1.28 A (9 % of the breaker; at most 80 % for a load that lasts (NEC 210.20(A), from memory))',
      supplies: 'psu',
    });
  });

  it('one pixel', () => {
    const text = `${DISPLAY}feed back  from psu.2  to eaves[70]  20 m  of feed-14\n`;
    expect(cardAt(text, 'eaves[70]', 6)).toMatchObject({ kind: 'pixel', name: 'eaves[70]' });
    expect(facts(cardAt(text, 'eaves[70]', 6))).toMatchObject({ part: 'steady-12', current: '60 mA' });
  });

  it('a line of a run: which pixels it is', () => {
    expect(facts(cardAt(DISPLAY, 'gable  40'))).toMatchObject({
      pixels: '40 of steady-12, 61 to 100 of eaves',
      'least voltage': '10.17 V at pixel 100',
      // 40 pixels lie behind its start.
      'most current in its own wire': '2.40 A at pixel 61 (rated 30 A)',
    });
  });
});

describe('hover on parts', () => {
  const part = (lines: string, word = 'bare') =>
    cardAt(`part pixel bare {\n  voltage 12 V\n  red 20 mA\n  wire 18 AWG\n${lines}}\n`, word);

  it('names every default with its source', () => {
    expect(facts(part(''))).toMatchObject({
      voltage: '12.00 V',
      'least for true white': '10.80 V (default, common practice: 90 % of nominal)',
      idle: '1 mA (default, common practice)',
      // 0.8230 mm2 by ASTM B258; 17.241 / 0.8230 x 1.02 = 21.37 mohm/m.
      wire: '18 AWG (0.823 mm², 21.4 mohm/m at 20 °C; area and stranding (IEC 60028, ASTM B258, ASTM B8))',
      rated: '7 A (default, NEC 240.4(D) and FAA AC 43.13-1B)',
      source: 'the part does not name one',
    });
  });

  it('and no default where the plan says the value', () => {
    expect(facts(part('  least 11 V\n  idle 1 mA\n  rated 5 A\n  source "bench"\n'))).toMatchObject({
      'least for true white': '11.00 V',
      idle: '1 mA',
      rated: '5 A',
      source: 'bench',
    });
  });
});

describe('hover on words and quantities', () => {
  it('a keyword: help, what may follow, an example', () => {
    const card = cardAt(DISPLAY, 'run eaves');
    expect(card).toMatchObject({ kind: 'keyword', name: 'run', description: 'Everything on one port, in data order.' });
    expect(card.example).toContain('run eaves');
  });

  it('a phrase: help and its default with the source', () => {
    const text = DISPLAY.replace('outline gutter  60 px', 'tree spruce  2 strands x 30 px').replace(
      'every 100 mm',
      'every 100 mm  spacing 0.2 m',
    );
    expect(facts(cardAt(text, 'spacing'))).toMatchObject({
      'where it is not said': 'one pitch (default, strands cut from one string)',
    });
    expect(cardAt(DISPLAY, 'every').description).toBe('Distance from pixel to pixel along the wire.');
  });

  it('a quantity in other units, and where it enters', () => {
    // 1 in = 25.4 mm exactly.
    expect(facts(cardAt(DISPLAY.replace('every 100 mm', 'every 3 in'), '3 in'))).toMatchObject({
      'same as': '0.0762 m, 76.2 mm, 0.25 ft',
      'enters as': 'outline … every (Distance from pixel to pixel along the wire.)',
    });
    expect(facts(cardAt(DISPLAY.replace('lead    2 m', 'lead    8 ft 4 in'), '8 ft 4 in', 6))).toMatchObject({
      'same as': '2.54 m, 2540 mm, 100 in, 8.333 ft',
    });
    expect(
      facts(cardAt(DISPLAY.replace('frame-rate', 'air -10 degC to 86 degF\n  frame-rate'), '86 degF')),
    ).toMatchObject({ 'same as': '30 degC' });
  });

  it('a wire size with its resistance', () => {
    const card = facts(cardAt('part cable c {\n  conductor 0.75 mm2\n  carries V+ ground\n}\n', '0.75 mm2'));
    // IEC 60228 class 5: 26.0 ohm/km at 20 degC.
    expect(card['one copper conductor']).toBe('26 mohm/m at 20 °C (IEC 60228 class 5 maximum)');
    // 18 AWG is 0.823 mm2, 19 AWG 0.653 mm2 (ASTM B258).
    expect(card['nearest gauge']).toBe('18 AWG (0.823 mm²)');
  });

  it('nothing in comments, texts and blanks', () => {
    for (const plan of ['place shed # the |shed', 'place shed "Tool |shed"', 'place shed \n|\n', '|'])
      expect(hover(plan).card).toBeUndefined();
  });
});

describe('hover where there are no figures', () => {
  it('says that no supply reaches the run', () => {
    const card = cardAt(DISPLAY.replace('of board ', 'of data-board ').replace('of lead-18', 'of data-18'), 'eaves');
    expect(card.picture).toBeUndefined();
    expect(card.notes?.[0]).toContain('No supply reaches it');
  });

  it('says why a run without pixels has none', () => {
    expect(
      cardAt('use "bench.festoon"\ncontroller box of board\nrun eaves from box.1 {\n}\n', 'eaves').notes?.[0],
    ).toContain('Nothing is computed');
  });

  it('says around which place no steady voltages were found', () => {
    const { analysis, uri, offset } = marked(cursorAt(DISPLAY, 'eaves'));
    const [solved] = analysis.account.islands;
    if (solved === undefined) throw new Error('no island');
    const outcome = { status: 'diverged' as const, node: 0, residualAmps: 1, iterations: 50 };
    const unsolved = { island: solved.island, circuit: solved.circuit, outcome };
    const account = { ...analysis.account, runs: new Map(), islands: [unsolved] };
    const card = hoverAt({ ...analysis, account }, uri, offset)?.card;
    expect(card?.notes?.[0]).toBe(
      `Nothing is computed: no steady voltages were found around ${solved.circuit.nodes[0]}. The wires there may be too thin for the load.`,
    );
  });

  it('says nothing of a port that is no number', () => {
    expect(cardAt(DISPLAY, 'box.1', 4).name).toBe('box.1');
    expect(hover(cursorAt(DISPLAY.replace('box.1', 'box.fuse'), 'box.fuse', 4)).card).toBeUndefined();
  });

  it('asks nothing of a null pixel', () => {
    const { picture, ...card } = cardAt(NULL_AT_END, 'row');
    expect(facts(card)['least voltage']).toMatch(/^\d+\.\d\d V at pixel 11$/);
    expect(picture?.alt).toContain('needs 10.8 V;');
    expect(cardAt(NULL_AT_END.replace(/ {2}string.*\n/, ''), 'row').picture?.alt).not.toContain('needs');
  });

  it('goes on for everything else when a line is broken', () => {
    const card = cardAt(DISPLAY.replace('outline gable  40 px', 'outline gable  40'), 'eaves');
    // 60 pixels are left: 3.6 A.
    expect(facts(card)).toMatchObject({ load: '3.60 A' });
  });
});

describe('texts of a plan in a hover', () => {
  const evil = '![x](https://evil.example/pixel.png) <img src=x> [l](command:do) `a` **b** http://a.b';

  it('never become markup', () => {
    const card = cardAt(`# c\n## ${evil}\n## # Heading\n## 1. list\n## - item\nplace shed "${evil}"\n`, 'shed');
    const markdown = cardMarkdown(card);
    const live = markdown.replace(/\\./g, '');
    expect(live).not.toMatch(/[[\]<>#!|~&_]|:\/\/|^\d+[.)] |^[-+] |=/m);
    expect(markdown.replaceAll('\\', '')).toContain('![x](https://evil.example/pixel.png)');
    expect(cardText(card)).toContain(evil);
  });

  it('lose characters that cannot be seen', () => {
    const card = cardAt('place shed "a\u202eb\u200bc"\n', 'shed');
    expect(cardMarkdown(card)).toContain('abc');
  });
});

it('a share with as many digits as nobody reads has no other way to say it', () => {
  const text = `plan "x" {\n  load-supplies ${'9'.repeat(400)} %\n}\n`;
  const { card } = hover(text.replace('999', '9|99'));
  expect(card === undefined ? '' : cardText(card)).not.toContain('Infinity');
  const { card: plain } = hover('plan "x" {\n  load-supplies 8|0 %\n}\n');
  expect(plain === undefined ? '' : cardText(plain)).toContain('0.8');
});
