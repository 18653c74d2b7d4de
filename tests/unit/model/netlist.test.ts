/**
 * A plan's deck, run by ngspice exactly as it is written, against our own solution at every pixel; and plans that stand
 * for published or hand-worked examples. Element by element the deck is a second way from the plan to its volts, with
 * none of the solver's reductions.
 */
import { readdirSync, readFileSync } from 'node:fs';
import { beforeAll, describe, expect, it } from 'vitest';
import type { Analysis } from '#server/analysis/analysis.ts';
import { Host } from '#server/analysis/host.ts';
import { pixelsOf } from '#server/model/account.ts';
import { netlistOf } from '#server/model/netlist.ts';
import { lawExpression } from '#server/model/netlist-elements.ts';
import { type RunDeck, startDecks } from '../../support/spice-deck.ts';
import { root } from '../house/tree.ts';

let runDeck: RunDeck;
beforeAll(async () => {
  runDeck = await startDecks();
});

function analysed(text: string): Analysis {
  const host = new Host(() => ({ missing: true }));
  host.setFile('file:///plan.festoon', text);
  return host.analyse('file:///plan.festoon');
}

/** The largest relative difference between ngspice and our volts at any pixel that is lit, and how many were compared. */
async function compare({ plan, account }: Analysis): Promise<{ pixels: number; worst: number; dark: number }> {
  for (const { outcome } of account.islands) expect(outcome.status).toBe('solved');
  const netlist = netlistOf(plan, account);
  const simulated = await runDeck(netlist.lines);
  let [pixels, dark, worst] = [0, 0, 0];
  for (const [run, load] of account.runs) {
    const { volts } = pixelsOf(load);
    for (let number = 1; number <= run.pixelCount; number++) {
      const nodes = netlist.pixel(run, number);
      const ours = volts[number - 1] ?? Number.NaN;
      if (nodes === undefined) {
        expect(ours).toBe(0);
        dark++;
        continue;
      }
      const theirs = (simulated.get(nodes.positive) ?? Number.NaN) - (simulated.get(nodes.negative) ?? Number.NaN);
      expect(theirs).not.toBeNaN();
      // Where V+ hangs on nothing but dark pixels both are zero but for the simulator's own leakage.
      const off = Math.abs(theirs - ours) / Math.max(Math.abs(theirs), 0.01);
      worst = Math.max(worst, off);
      pixels++;
    }
  }
  return { pixels, worst, dark };
}

/** Parts that the small plans share. */
const PARTS = `
part cable pair {
  conductor 2.5 mm2
  carries   V+ ground
}
part cable lead {
  conductor 18 AWG
  carries   V+ ground data
}
part connector plug {
  rated   5 A
  contact 10 mohm
}
part supply big {
  voltage 12 V
  rated   30 A
  droop   2 mohm
}
part controller board {
  ports     4
  port-fuse 5 A
  draws     0.4 A
}
part controller data-board {
  ports 4
}
part pixel bullet {
  voltage 12 V
  red     18.5 mA  knee 7.2 V  dark 6 V
  green   18.5 mA  knee 10.4 V  dark 9.6 V
  blue    18.5 mA  knee 10.4 V  dark 9.6 V
  idle    1 mA
  wire    18 AWG
  joint   1 mohm
  ends    plug
}
part pixel plain {
  voltage 12 V
  red     20 mA  resistor 300 ohm
  green   20 mA  resistor 150 ohm
  wire    20 AWG
}
part pixel buck {
  voltage   12 V
  converter 0.5 W  lockout 7 V
  idle      0 mA
  wire      18 AWG
}
`;

const SUPPLY = `supply a  of big {
  set 12.2 V
  output 1  fuse 5 A
  output 2  fuse 7.5 A
  output 3  fuse 10 A
}
`;

const PLANS: Readonly<Record<string, { readonly lit: number; readonly dark: number; readonly plan: string }>> = {
  'feeds, gaps, connectors and a doubled cable, with starving pixels': {
    lit: 200,
    dark: 0,
    plan: `${SUPPLY}controller box  of board  from a.1
run eaves  from box.1 {
  lead   6 m  of lead
  string 80 px  of bullet  every 100 mm
  gap    2 m
  string 120 px  of bullet  every 100 mm
}
feed middle  from a.2  to eaves[60]  12 m of pair x 2
`,
  },
  'a trunk with taps across a matrix': {
    lit: 160,
    dark: 0,
    plan: `${SUPPLY}controller box  of data-board  from a.1
run sail  from box.1 {
  matrix canvas  8 strands x 20 px  of bullet  every 50 mm  spacing 0.2 m
}
feed trunk  from a.3 {
  cable 5 m of pair
  tap   sail.canvas(1)
  cable 0.4 m of pair
  tap   sail.canvas(5)  with plug
  cable 0.4 m of pair
  tap   sail.end
}
`,
  },
  'two supplies kept apart by a cut, with grounds in common': {
    lit: 120,
    dark: 0,
    plan: `${SUPPLY}supply b  of big {
  set 12.6 V
  output 1  fuse 7.5 A
}
controller box  of board  from a.1
run fence  from box.1 {
  lead   2 m  of lead
  string 60 px  of bullet  every 100 mm
  cut    V+
  string 60 px  of bullet  every 100 mm
}
feed far  from b.1  to fence.end  15 m of pair
bond grounds  from a to b  20 m of pair
`,
  },
  'supplies that meet, one of which gives nothing': {
    lit: 60,
    dark: 0,
    plan: `${SUPPLY}supply b  of big {
  set 11 V
  output 1  fuse 7.5 A
}
controller box  of board  from a.1
run fence  from box.1 {
  lead   0.5 m  of lead
  string 60 px  of plain  every 100 mm
}
feed far  from b.1  to fence[10]  1 m of pair
`,
  },
  'a supply held at its limit': {
    lit: 300,
    dark: 0,
    plan: `supply a  of big {
  output 1
}
part supply small {
  voltage 12 V
  rated   4 A
}
supply s  of small {
  output 1
}
controller box  of data-board  from a.1
run long  from box.1 {
  string 300 px  of plain  every 20 mm
}
feed in  from s.1  to long[150]  1 m of pair
`,
  },
  'converters, at a part of full brightness': {
    lit: 100,
    dark: 0,
    plan: `plan {
  design-for full-white at 60 %
  air        -10 degC to 35 degC
}
${SUPPLY}controller box  of board  from a.1
run row  from box.1 {
  lead   3 m  of lead
  string 100 px  of buck  every 100 mm
}
feed end  from a.2  to row.end  20 m of pair
`,
  },
  'dark pixels between lit ones, of a regulated kind and of one with a converter': {
    lit: 77,
    dark: 0,
    plan: `${SUPPLY}controller box  of board  from a.1
run row  from box.1 {
  string 40 px  of bullet  every 100 mm
  gap    4 m
  null   2 px  of bullet
  null   1 px  of buck  every 50 mm
  gap    4 m  of lead
  string 34 px  of bullet  every 100 mm
}
feed end  from a.2  to row.end  20 m of pair
`,
  },
  'one colour only': {
    lit: 100,
    dark: 0,
    plan: `plan {
  design-for blue at 100 %
}
${SUPPLY}controller box  of board  from a.1
run row  from box.1 {
  string 100 px  of bullet  every 100 mm
}
`,
  },
  'a part of the plan that no supply reaches, and a tail behind a cut that nothing feeds': {
    lit: 60,
    dark: 40,
    plan: `${SUPPLY}controller box  of board  from a.1
controller lost  of board
run row  from box.1 {
  string 40 px  of bullet  every 100 mm
  cut    V+
  string 20 px  of bullet  every 100 mm
}
run adrift  from lost.1 {
  string 40 px  of bullet  every 100 mm
}
`,
  },
  'names that fall together once written for the simulator': {
    lit: 90,
    dark: 0,
    plan: `${SUPPLY}controller box  of board  from a.1
run été-1  from box.1 {
  string 30 px  of bullet  every 100 mm
}
run Ete_1  from box.2 {
  string 30 px  of bullet  every 100 mm
}
run 屋根  from box.3 {
  string 30 px  of bullet  every 100 mm
}
feed ete-1  from a.2  to été-1[7]  3 m of pair
feed box  from a.3  to Ete_1[9]  3 m of pair
bond ete  from a to box  1 m of pair
`,
  },
  'panels on a ribbon and floods that hold their power, each on a cord, and a flood without power': {
    lit: 8,
    dark: 1,
    plan: `${SUPPLY}controller box  of board  from a.1
part panel p5 {
  voltage 5 V
  size    32 rows x 64 columns
  draws   4 A  knee 11 V  dark 8 V
  idle    0.1 A
  scan    16
  data    8 bits at 20 MHz  shortened 4
  plug    plug
}
part connector plug {
  rated   20 A
  contact 5 mohm
}
part flood f {
  voltage 12 V
  power   40 W  lockout 8 V
  cord    1 m of 18 AWG
}
run sign  from box.1 {
  panels front  2 rows x 2 columns  of p5
  panels side   1 row x 1 column  of p5  ribbon 2 m
}
flood wash  4  of f
feed s  from a.2 {
  cable 3 m  of pair
  tap   sign.front(1)
  tap   sign.front(2)
  cable 2 m  of pair
  tap   sign.front(3)
  tap   sign.front(4)
  tap   sign.side(1)
}
feed w  from a.3 {
  cable 10 m  of pair
  tap   wash(1)
  cable 5 m  of pair
  tap   wash(2)
  tap   wash(4)
}
`,
  },
};

describe('the deck of a plan, run by ngspice', () => {
  it.each(Object.keys(PLANS))('%s', async (name) => {
    const { lit, dark, plan } = PLANS[name]!;
    const found = await compare(analysed(PARTS + plan));
    expect({ pixels: found.pixels, dark: found.dark }).toEqual({ pixels: lit, dark });
    expect(found.worst).toBeLessThan(1e-6);
  });

  it('is put to the test where loads starve, a supply limits and a supply gives nothing', () => {
    const starving = analysed(PARTS + PLANS['feeds, gaps, connectors and a doubled cable, with starving pixels']!.plan);
    expect(Math.min(...[...starving.account.runs.values()].map((run) => run.least?.volts ?? 99))).toBeLessThan(10.4);
    const limited = analysed(PARTS + PLANS['a supply held at its limit']!.plan);
    expect([...limited.account.supplies.values()].map((supply) => supply.limited)).toContain(true);
    const idle = analysed(PARTS + PLANS['supplies that meet, one of which gives nothing']!.plan);
    expect([...idle.account.supplies.values()].map((supply) => supply.amps)).toContain(0);
  });

  it('names its nodes so that a pixel can be found, whatever the run is called', () => {
    const { plan, account } = analysed(PARTS + PLANS['names that fall together once written for the simulator']!.plan);
    const netlist = netlistOf(plan, account);
    const names = [...plan.runs.values()].map((run) => netlist.pixel(run, 7));
    expect(names).toEqual([
      { positive: 'n_ete_1_7_p', negative: 'n_ete_1_7_g' },
      { positive: 'n_ete_1_x2_7_p', negative: 'n_ete_1_x2_7_g' },
      { positive: 'n_x_7_p', negative: 'n_x_7_g' },
    ]);
    const elements = netlist.lines.filter((line) => /^[RBV]_/.test(line)).map((line) => line.split(' ')[0]);
    expect(elements.length).toBeGreaterThan(3 * 90);
    expect(new Set(elements).size).toBe(elements.length);
    expect(netlist.lines).toContain('* run 屋根 is written x');
  });

  it('has one line for what a plan may say over several', () => {
    const { plan, account } = analysed(`plan "first\u0085.end\u2028B_x 1 0 i=1"\n${PARTS}${SUPPLY}`);
    const { lines } = netlistOf(plan, account);
    expect(lines[0]).toBe('* first .end B_x 1 0 i=1, every pixel of it, for the circuit simulator ngspice');
    expect(lines.filter((line) => /[\p{Cc}\p{Zl}\p{Zp}]/u.test(line))).toEqual([]);
  });

  it.each(['plan.festoon', 'flawed/plan.festoon'])(
    'the sample display, samples/boathouse/%s',
    async (name) => {
      const folder = `${root}/samples/boathouse/`;
      const host = new Host((uri) => ({ text: readFileSync(new URL(uri), 'utf8') }), new URL(`file://${folder}`).href);
      const main = new URL(`file://${folder}${name}`);
      host.setFile(main.href, readFileSync(main, 'utf8'));
      expect(readdirSync(folder)).toContain('plan.festoon');
      const found = await compare(host.analyse(main.href));
      expect(found.pixels).toBeGreaterThan(4000);
      expect(found.worst).toBeLessThan(1e-6);
    },
    300_000,
  );
});

it('a load of nothing draws nothing, whatever it is scaled by', () => {
  const nothing = { quiescentAmps: 0, quiescentVolts: 12, channels: [] };
  expect(lawExpression(nothing, 1)).toBe('0');
  expect(lawExpression(nothing, 0.5)).toBe('0');
  // Its idle current is not scaled: 1 mA from 12 V up, in proportion below.
  expect(lawExpression({ ...nothing, quiescentAmps: 0.001 }, 0.5)).toBe('(u < 0 ? 0 : (u > 12 ? 0.001 : 0.001*u/12))');
});
