/**
 * Published and hand-reckoned examples, written as plans and put through the whole of Festoon: from the text to the
 * figures of `festoon solve`. Each names its source; the tolerance is that of the printed value.
 */
import { readFileSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { festoon } from './console.ts';

function solve(plan: string) {
  const { out, err } = festoon(['solve', '--format', 'json', 'a.festoon'], { files: { '/plans/a.festoon': plan } });
  expect(err).toBe('');
  return JSON.parse(out);
}

/**
 * Parts without anything but wire. Plans count on stranded copper, 2 % more resistance than solid (ASTM B8, from
 * memory), and on 17.241 mohm mm2/m: the areas below are those of solid 18 and 14 AWG plus 2 %, so that a conductor has
 * exactly the 20.948 and 8.285 mohm/m of the wire table (ASTM B258).
 */
const area = (ohmsPerMetre: number) => ((1.02 / 58 / ohmsPerMetre) as number).toFixed(9);
const parts = (volts: number, draws: string) => `
part pixel px {
  voltage ${volts} V
  ${draws}
  idle    0 mA
  wire    ${area(0.020948)} mm2
}
part cable c18 {
  conductor ${area(0.020948)} mm2
  carries   V+ ground
}
part cable c14 {
  conductor ${area(0.008285)} mm2
  carries   V+ ground
}
part connector none {
  rated   50 A
  contact 0.001 mohm
}
part supply ideal {
  voltage ${volts} V
  rated   100 A
  droop   0 mohm
}
part controller board {
  ports 1
}
supply s  of ideal {
  output 1
}
controller c  of board
`;

const ladder = (volts: number, draws: string, pixels: number, ...feeds: string[]) =>
  `${parts(volts, draws)}run r  from c.1 {\n  string ${pixels} px  of px  every 100 mm\n}\n${feeds
    .map((feed, index) => `feed f${index}  from s.1  to ${feed}  with none\n`)
    .join('')}`;

const steady = (milliamps: number) => `red     ${milliamps} mA  knee 1 V  dark 0.5 V`;

/** A string fed at one end, reckoned in closed form: V = Vs - 2 I (N R_lead + r N (N + 1) / 2). */
const closedForm = (volts: number, amps: number, pixels: number, leadMetres: number) =>
  volts - 2 * amps * 0.020948 * (pixels * leadMetres + (0.1 * pixels * (pixels + 1)) / 2);

describe('pixel strings of 18 AWG, 100 mm apart', () => {
  // The volts at the end and the least volts: operating points of the same ladders written out for ngspice by hand.
  it.each([
    ['50 px, 12 V, 60 mA, 3 m of lead', ladder(12, steady(60), 50, 'r  3 m of c18'), 11.30244, 11.30244, 50, 3],
    ['100 px, 12 V, 60 mA, 3 m of lead', ladder(12, steady(60), 100, 'r  3 m of c18'), 9.97644, 9.97644, 100, 6],
    [
      'the same, with power again at pixel 100 through 15 m of 14 AWG',
      ladder(12, steady(60), 100, 'r  3 m of c18', 'r.end  15 m of c14'),
      11.36589,
      11.14398,
      58,
      6,
    ],
    ['100 px, 5 V, 55 mA, 1 m of lead', ladder(5, steady(55), 100, 'r  1 m of c18'), 3.60593, 3.60593, 100, 5.5],
    [
      '200 px, 12 V, 30 mA, 5 m of 14 AWG, power again at 100 and 200 through 15 and 25 m of 14 AWG',
      ladder(12, steady(30), 200, 'r  5 m of c14', 'r[100]  15 m of c14', 'r[200]  25 m of c14'),
      11.40894,
      11.26977,
      153,
      6,
    ],
    [
      '100 px of 200 ohm, 12 V, 3 m of lead',
      ladder(12, 'red     60 mA  resistor 200 ohm', 100, 'r  3 m of c18'),
      10.23257,
      10.23257,
      100,
      5.297,
    ],
  ])('%s', (_, plan, endVolts, leastVolts, leastPixel, amps) => {
    const { runs, supplies } = solve(plan);
    const [run] = runs;
    expect(Math.abs(run.pixelVolts.at(-1) - endVolts)).toBeLessThan(1e-4);
    expect(Math.abs(run.leastVolts - leastVolts)).toBeLessThan(1e-4);
    expect(run.leastPixel).toBe(leastPixel);
    expect(Math.abs(supplies[0].amps - amps)).toBeLessThan(1e-3);
  });

  it.each([
    [50, 12, 0.06, 3],
    [100, 12, 0.06, 3],
    [100, 5, 0.055, 1],
    [7, 12, 0.02, 10],
  ])('agree with the closed form: %i px at %d V and %d A behind %d m', (pixels, volts, amps, metres) => {
    const { runs } = solve(ladder(volts, steady(amps * 1000), pixels, `r  ${metres} m of c18`));
    expect(Math.abs(runs[0].leastVolts - closedForm(volts, amps, pixels, metres))).toBeLessThan(2e-5);
  });

  it('of equal resistors agree with the closed form of a resistive ladder', () => {
    // V_N = V0 cosh(t/2) / cosh((N + 1/2) t), cosh t = 1 + r g / 2: 50 sections, 200 ohm loads, 12 V, fed at the first
    // section. r is go and return, 2 x 0.1 m x 20.948 mohm/m.
    const t = Math.acosh(1 + (2 * 0.1 * 0.020948) / 200 / 2);
    const expected = (12 * Math.cosh(t / 2)) / Math.cosh(50.5 * t);
    const { runs } = solve(ladder(12, 'red     60 mA  resistor 200 ohm', 50, 'r  1 mm of c14'));
    expect(Math.abs(runs[0].pixelVolts[49] - expected)).toBeLessThan(1e-4);
  });
});

describe('published examples', () => {
  it('a strip of 100 four-colour chips: 16.2 A (wiring guide of the TM1814)', () => {
    // 4 x 38 mA and 10 mA for the chip itself, a hundred times.
    const channels = ['red', 'green', 'blue', 'white']
      .map((colour) => `${colour} 38 mA  knee 1 V  dark 0.5 V`)
      .join('\n  ');
    const plan = ladder(12, channels, 100, 'r  1 m of c14')
      .replace('idle    0 mA', 'idle    10 mA')
      .replace(/every 100 mm/, 'every 5 mm');
    const { runs, supplies } = solve(plan);
    expect(supplies[0].amps).toBeCloseTo(16.2, 6);
    expect(runs[0].amps).toBeCloseTo(16.2, 6);
  });

  it('24 V and 4 A through 100 ft of 16 AWG: 3.992 V lost (NEC chapter 9 table 8, 4.99 ohm per 1000 ft at 75 degC)', () => {
    // Our copper has 4.98 ohm per 1000 ft there; the printed value is held to 0.02 V.
    const plan = `plan {\n  air 20 degC to 75 degC\n}\n${ladder(24, 'red     4 A  knee 2 V  dark 1 V', 1, 'r  100 ft of c16')}
part cable c16 {
  conductor 16 AWG
  carries   V+ ground
}
`;
    const { feeds } = solve(plan);
    expect(Math.abs(feeds[0].drop - 3.992)).toBeLessThan(0.02);
  });

  it('1024 pixels at 30 frames a second and 800 kbit/s, as datasheets of such chips claim', () => {
    const plan = `plan {\n  frame-rate 30 fps\n}\n${ladder(12, steady(1), 1024, 'r  1 m of c14')}`;
    const [run] = solve(plan).runs;
    // 1024 x 24 x 1.25 us and 300 us of pause make 31.02 ms; a frame lasts 33.3 ms.
    expect(run.frameSeconds).toBeCloseTo(0.03102, 8);
    expect(run.frameShare).toBeLessThan(1);
  });
});

describe('mains', () => {
  // Twenty lamps of 1 A at 12 V: 240 W. By 85.5 % and a power factor of 0.555 at 115 V that is 4.398 A, as on the sheet of
  // such a supply (4.4 A). At 35 % they draw 7 A, 84 W, and 98.246 W from the mains: 40 nights of 5 h are 200 h, so
  // 19.649 kWh, and 5.895 at 0.30 a kilowatt hour. The lead: 2 x 20 m x 13.3 mohm/m (IEC 60228, 1.5 mm2) x 4.398 A = 2.340 V.
  const result = solve(`plan "Lamps" {
  season 40 nights  of 5 h  at 35 %  price 0.30 per-kWh
}
part supply sheet-12 {
  voltage       12 V
  rated         30 A
  droop         0 mohm
  efficiency    85.5 %
  power-factor  55.5 %
  inrush        60 A
  leakage       0.5 mA
}
part pixel lamp {
  voltage  12 V
  red      1 A  knee 6 V  dark 5 V
  idle     0 mA
  wire     10 AWG
  rated    30 A
}
part cable cord-1-5 {
  conductor 1.5 mm2
  carries   line neutral earth
}
part cable thick {
  conductor 50 mm2
  carries   V+ ground data
  rated     100 A
}
part controller board {
  ports 1
}
circuit garden  15 A  115 V
supply psu  of sheet-12  on garden  extension 20 m cord cord-1-5 {
  output 1
}
controller box  of board
run lamps  from box.1 {
  string 20 px  of lamp  every 1 mm
}
feed f  from psu.1  to lamps  1 mm of thick
`);

  it('are reckoned from the light of the season to its cost', () => {
    expect(result.season.kilowattHours).toBeCloseTo(19.649, 2);
    expect(result.season.cost).toBeCloseTo(5.895, 2);
    expect(result.circuits[0].seasonKilowattHours).toBeCloseTo(19.649, 2);
  });

  it('are reckoned for the breaker and the lead', () => {
    expect(result.circuits[0].amps).toBeCloseTo(4.398, 2);
    expect(result.circuits[0].inrush).toBe(60);
    expect(result.circuits[0].leakage).toBeCloseTo(0.0005, 9);
    expect(result.extensions[0].drop).toBeCloseTo(2.34, 2);
  });
});

describe('the sample of a tall tree', () => {
  // 1,460 px of 15 + 1 mA and two boards of 0.3 A: 23.96 A at about 12.58 V are 301 W; by 85 %, 0.55 and 230 V 2.80 A. Two
  // supplies start with 2 x 60 A and leak 2 x 0.75 mA. At 35 % a pixel draws 6.25 mA: 9.725 A, 122.4 W, 144 W from the mains,
  // 28.8 kWh in 200 h, 8.64 at 0.30. The lead: 2 x 20 m x 13.3 mohm/m x (1 + 0.00393 x 15) = 0.5634 ohm, 1.58 V.
  const files = Object.fromEntries(
    ['plan', 'parts'].map((name) => [
      `/plans/${name}.festoon`,
      readFileSync(`samples/tall-tree/${name}.festoon`, 'utf8'),
    ]),
  );
  const { season, circuits, extensions, masts } = JSON.parse(
    festoon(['solve', '--format', 'json', 'plan.festoon'], { files }).out,
  );

  it('asks of its circuit what was reckoned by hand', () => {
    expect(circuits[0].amps).toBeCloseTo(2.8, 2);
    expect(circuits[0].inrush).toBeCloseTo(120, 9);
    expect(circuits[0].leakage).toBeCloseTo(0.0015, 9);
    expect(extensions[0].drop).toBeCloseTo(1.58, 1);
    expect(season.kilowattHours).toBeCloseTo(28.8, 1);
    expect(season.cost).toBeCloseTo(8.64, 1);
  });

  // Written out in tests/fixtures/checks/guy-overloaded.
  it('asks of its guys what was reckoned by hand', () => {
    expect(masts[0].windForce).toBeCloseTo(1125, 1);
    expect(masts[0].guyPull).toBeCloseTo(1217.2, 0);
    expect(masts[0].caution).toContain('approves nothing');
  });
});
