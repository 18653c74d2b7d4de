/** Which colour starves first, against a hand calculation. */
import { describe, expect, test } from 'vitest';
import { Host } from '#server/analysis/host.ts';
import { reportOf } from '#server/cli/report.ts';
import { solveJson } from '#server/cli/solve-json.ts';
import { pixelCard, runCard } from '#server/ide/cards/run-card.ts';

/**
 * Three pixels, of which the last sees 11.9 V. Between dark (d) and knee (k) a colour's share is t t (3 - 2 t) with
 * t = (u - d) / (k - d):
 *   red    knee  6.0 V              1
 *   green  knee 12.2 V, dark 11.2   t = 0.7: 0.49 * 1.6 = 0.784
 *   blue   knee 12.5 V, dark 11.5   t = 0.4: 0.16 * 2.2 = 0.352
 * A pixel draws 20 mA (1 + 0.784 + 0.352) = 42.72 mA. The supply drops 0.1 V from 12 V with a droop of
 * 0.1 V / (3 * 42.72 mA) = 780.3 mohm; the cables of 1 mm of 10 mm2 add some micro-ohms.
 */
const PLAN = `plan "shift" {
  frame-rate 25 fps
  air 20 degC to 20 degC
}
part pixel eager {
  voltage 12 V
  least   10 V
  red     20 mA  knee  6 V    dark 5 V
  green   20 mA  knee 12.2 V  dark 11.2 V
  blue    20 mA  knee 12.5 V  dark 11.5 V
  idle    0 mA
  wire    10 mm2
}
part cable pair {
  conductor 10 mm2
  carries   V+ ground data
}
part supply bench {
  voltage 12 V
  rated   20 A
  droop   780.3 mohm
}
part controller board {
  ports 1
}
supply psu  of bench {
  output 1  fuse 5 A  cold 0.01 mohm
}
controller box  of board
bond grounds  from psu to box  1 m  of pair
run row  from box.1 {
  lead   1 mm  of pair
  string 3 px  of eager  every 1 mm
}
feed start  from psu.1  to row.start  1 mm  of pair
`;

function analysed(text: string) {
  const host = new Host(() => ({ missing: true }));
  host.setFile('file:///plan.festoon', text);
  const analysis = host.analyse('file:///plan.festoon');
  const run = analysis.plan.runs.get('row');
  if (run === undefined) throw new Error('no run');
  return { analysis, run };
}

function factOf(card: ReturnType<typeof runCard>, label: string) {
  const found = card.facts.find((each) => each.label === label);
  return found === undefined ? undefined : [found.value, found.note];
}

describe('blue starves first', () => {
  const { analysis, run } = analysed(PLAN);

  test('on the card of the run and of a pixel', () => {
    // The splices of the feed take some 0.1 mV more: the lowest pixel is the last.
    expect(factOf(runCard(analysis, run), 'colour shift')).toEqual([
      'blue at 35 % at pixel 3',
      'red at 100 %, green at 78 %',
    ]);
    expect(factOf(pixelCard(analysis, run, 3), 'colours')).toEqual([
      'red at 100 %, green at 78 %, blue at 35 %',
      undefined,
    ]);
  });

  test('in JSON', () => {
    const json = solveJson('plan.festoon', reportOf(analysis), analysis.account) as {
      runs: { colourShift: { colours: string[]; share: number; pixel: number } }[];
    };
    const [row] = json.runs;
    if (row === undefined) throw new Error('no run');
    const { colours, share, pixel } = row.colourShift;
    expect({ colours, pixel }).toEqual({ colours: ['blue'], pixel: 3 });
    expect(share).toBeCloseTo(0.352, 2);
  });
});

test('colours with the same knee starve together', () => {
  const { analysis, run } = analysed(PLAN.replace('knee 12.2 V  dark 11.2 V', 'knee 12.5 V  dark 11.5 V'));
  expect(factOf(runCard(analysis, run), 'colour shift')?.[0]).toMatch(/^green and blue at \d\d % at pixel 3$/);
});

test('a look that does not light blue does not starve it', () => {
  const { analysis, run } = analysed(PLAN.replace('air 20', 'design-for red at 100 %\n  air 20'));
  expect(factOf(runCard(analysis, run), 'colour shift')).toBeUndefined();
  expect(factOf(pixelCard(analysis, run, 3), 'colours')).toBeUndefined();
});

test('a resistor lets every colour follow the voltage: at 11.5 V, 5.5 V of 6 V are left for it', () => {
  // 20 mA through 300 ohm is 6 V, so that the diodes take the other 6 V: (11.5 - 6) / 300 = 18.33 mA, 92 % of 20 mA.
  // Three pixels draw 55 mA, so 0.5 V takes 9.091 ohm.
  const text = PLAN.replace(/ {2}red .*\n {2}green .*\n {2}blue .*\n/, '  red 20 mA resistor 300 ohm\n').replace(
    '780.3 mohm',
    '9.091 ohm',
  );
  const { analysis, run } = analysed(text);
  expect(factOf(runCard(analysis, run), 'colour shift')).toEqual(['red at 92 % at pixel 3', undefined]);
});
