import { readFileSync } from 'node:fs';
import { describe, expect, test } from 'vitest';
import { analysePlan } from '../../support/plans.ts';

/**
 * What a finding advises depends on the plan: who hangs on a fuse, which way a ground shifted, what else there is to feed
 * from. For each of these plans it was thought out on the plan, not on the message, what must be said and what must not.
 */
const FOLDER = new URL('../../fixtures/checks/', import.meta.url);

function messages(code: string, text: string): string[] {
  return analysePlan(text).analysis.findings.flatMap((finding) => (finding.code === code ? [finding.message] : []));
}

const ADVICE: [plan: string, says: string[], saysNot: string[]][] = [
  ['address-overlap/found-two-pins', ['Move one of them; universe 2 is free'], ['universe 3']],
  ['address-overlap/found-two-controllers', ['Move one of them; universe 3 is free'], []],
  ['address-range/found-no-room', ['starts in universe 5'], ['Start lower']],
  ['address-range/found-beyond-the-last', ['Start lower'], ['Pin it']],
  ['cable-overloaded/found-board', ['The cable to left'], []],
  ['cable-overloaded/found-lead', ['The lead of eaves'], []],
  ['cable-overloaded/found-gap', ['This gap of eaves'], []],
  ['circuit-inrush/found-type-b', ['(IEC 60898)', '1 supply without a stated inrush not counted'], ['assumed']],
  ['circuit-inrush/found-type-not-stated', ['assumed, since the circuit does not say'], ['not counted', 'IEC 60898)']],
  ['conductor-overloaded/found-cord', ['The cord of panel 1', 'thicker cord'], ['Inject']],
  ['conductor-overloaded/found-by-gauge', ["The string's own wire", 'Inject power'], ['cord']],
  ['connector-overloaded/found-at-a-tap', ['at this tap', 'Use a larger one'], ['Inject']],
  ['connector-overloaded/found-between-strings', ['at this string of eaves', 'Inject power behind it'], ['tap']],
  [
    'data-margin/found-gap',
    ['pixel 1 sends', 'above that of pixel 1', 'are left', 'cable in the gap'],
    ['lead', 'port'],
  ],
  ['data-margin/found-lead', ['the port sends', 'above that of the port', 'thicker lead'], ['gap', 'not read']],
  ['data-margin/found-weak-port', ['so its data is not read', 'drives 5 V'], ['are left.', 'lead']],
  ['expectation-failed/found-corner', ['Worst corner: supplies −1 %'], []],
  ['extension-drop/found-two-leads', ['with the lead before it', '5 % is the most'], []],
  ['extension-drop/found-far', ['3 % is good practice. Use'], ['with the lead before it']],
  ['feed-unfused/found-board', ['left.2 has no fuse. Fuse every feed', 'or use a thicker one'], []],
  ['feed-unfused/found-controller', ['Fuse the cable to box at the supply end.'], ['thicker', 'every feed']],
  ['fuse-overloaded/found-above-rating', ['Move a feed to another output.'], ['Only', 'larger fuse']],
  ['fuse-overloaded/found-above-share', ['Only star-feed hangs on it', 'if its cable allows it'], ['Move']],
  ['fuse-overloaded/found-board-and-ports', ['Inject power into the runs of box'], ['Only', 'Move']],
  ['fuse-overloaded/found-board', ['Move a feed from left to another board', 'the cable to left'], ['Only', 'Inject']],
  ['fuse-too-large/found-feed', ['A 15 A fuse is enough here'], ['larger cable']],
  ['fuse-too-large/found-thinnest-of-a-trunk', ['A 5 A fuse is enough here'], ['larger cable']],
  ['fuse-too-large/found-port', ['Use a larger cable, or one without V+'], ['enough']],
  ['guy-overloaded/found-anchor', ['pulls an anchor of'], ['pulls a guy']],
  ['guy-overloaded/found-guy', ['pulls a guy of'], ['pulls an anchor']],
  ['link-ground-shift/found', ['above that of box'], ['below']],
  ['link-ground-shift/found-below', ['below that of box'], ['above']],
  ['link-too-long/found', ['far-two is good for 100 m'], []],
  ['low-voltage/found-panel', ['panel 1 of sign (front) gets', 'full light'], ['sags']],
  ['low-voltage/found-worst-string', ['pixel 50 (first)', 'true white'], ['gets']],
  ['main-fuse-small/found', ['thicker cable and a larger fuse', 'Use 20 A in front of the board'], []],
  ['measured-differs/found', ['more are lost', 'look for a bad joint', 'fewer are lost', 'set higher?'], []],
  ['mixed-data/found-clocked', ['24 bits at 800 kHz with a clock, but', '24 bits at 800 kHz. Give'], []],
  ['mixed-data/found-white-channel', ['takes 32 bits', 'takes 24 bits'], ['clock']],
  ['no-power/found-behind-cut', ['from pixel 21 on', 'to eaves[21]'], ['plug']],
  ['no-power/found-panel', ['panel 2 of sign', 'every panel has a power plug', 'to sign.front(2)'], ['have no power)']],
  ['panel-refresh/found-plain', ['Even one panel takes too long'], ['Put at most']],
  ['panel-refresh/found-chain', ['Put at most 10 on a port (2 ports for sign)'], ['Even one']],
  ['port-pixels/found-frame-time', ['Split it over 2 ports, or plan for 39 fps'], []],
  [
    'port-pixels/found-links',
    ['row and tail share port box.1', 'Give one of the receivers ports of its own'],
    ['Split'],
  ],
  ['port-pixels/found-panels-on-pixel-port', ['made for strings of pixels', 'scan board'], ['Split']],
  ['port-pixels/found-panels', ['Split it over 2 ports'], ['made for strings']],
  ['port-taken/found', ['box.2 is free'], ['link']],
  ['residual-current/found-above-rating', ['1 supply without a stated leakage not counted'], []],
  ['residual-current/found-class-a', ['UL 943'], ['not counted', 'IEC 61008']],
  ['route-crowded/found-backwards', ['1 cable passes from roof to shed'], ['pass ']],
  ['route-crowded/found', ['3 cables pass from shed to roof'], ['passes']],
  ['supply-overloaded/found-above-share', ['Add a supply, or feed a part of its runs'], ['move a feed', 'folded']],
  ['supply-overloaded/found-folded-back', ['Its voltage has folded back to 6.04 V'], []],
  ['supply-overloaded/found-two-feeds', ['Move a feed to another supply.'], ['Add a supply', 'Feed a part']],
  ['supply-overloaded/found-warm-box', ['in its warm box'], ['closed box']],
  ['unsolved/found-too-many-pixels', ['r1, r2, r3, r4, r5 and 16 more'], ['No steady']],
  ['unsolved/found-second-run', ['around second', 'for first, second.'], ['more.']],
  ['voltage-collapse/found-flood', ['at flood 1 of wash', 'thicker or shorter feed'], ['pixel']],
  ['voltage-collapse/found-second-pixel', ['From pixel 2 of two'], []],
  ['wrong-voltage/found-too-high', ['would be destroyed', 'Take a supply of 5 V'], ['stay dark']],
  ['wrong-voltage/found-too-low', ['would stay dark', 'Take a supply of 12 V'], ['destroyed']],
];

test.each(ADVICE)('%s', (plan, says, saysNot) => {
  const [code = ''] = plan.split('/');
  const said = messages(code, readFileSync(new URL(`${plan}.festoon`, FOLDER), 'utf8')).join('\n');
  for (const words of says) expect(said).toContain(words);
  for (const words of saysNot) expect(said).not.toContain(words);
});

describe('who hangs on an overloaded supply or fuse', () => {
  const plan = (feeds: string, more = '') => `use "bench.festoon"
place shed
supply psu  of bench-12  at shed {
  output 1  fuse 1 A
  output 2  fuse 1 A
}
${more}
controller box  of board  from psu.2
run eaves {
  string 100 px  of steady-12  every 50 mm
}
run row {
  string 100 px  of steady-12  every 50 mm
}
${feeds}
`;
  const one = 'feed first  from psu.1  to eaves[1]  1 m  of feed-14';
  const two = `${one}\nfeed second  from psu.1  to row[1]  1 m  of feed-14`;

  test('a feed alone, two feeds, and a feed beside a board', () => {
    const alone = messages('fuse-overloaded', plan(one)).join('\n');
    expect(alone).toContain('Only first hangs on it');
    const both = messages('fuse-overloaded', plan(two)).join('\n');
    expect(both).toContain('Move a feed to another output.');
    const beside = messages('fuse-overloaded', plan(one).replace('from psu.2', 'from psu.1')).join('\n');
    expect(beside).toContain('Move something to another output.');
  });

  test('each of many feeds is pointed to, but no more than eight', () => {
    const many = Array.from(
      { length: 11 },
      (_, i) => `feed f${i}  from psu.1  to eaves[${9 * i + 1}]  1 m  of feed-14`,
    );
    const related = (code: string, feeds: string[]) => {
      const { findings } = analysePlan(plan(feeds.join('\n'))).analysis;
      return findings.find((finding) => finding.code === code)?.related.length;
    };
    expect(related('fuse-overloaded', many)).toBe(8);
    expect(related('fuse-overloaded', many.slice(0, 3))).toBe(3);
  });
});
