/** What a person is asked before a first plan is written. */
export interface FirstPlan {
  readonly title: string;
  readonly units: 'metric' | 'imperial';
  readonly volts: 5 | 12;
}

/** A first plan: one string on one port, parts of its own, nothing to be found wrong with it. */
export function firstPlan({ title, units, volts }: FirstPlan): string {
  const metric = units === 'metric';
  const kit = volts === 12 ? twelve : five;
  const [lead, pitch, way] = metric ? ['2 m', '100 mm', '3 m'] : ['6 ft', '4 in', '10 ft'];
  return `# Mains parts are for a licensed electrician and your local codes; outdoor circuits need residual-current protection.
# Fuse every feed at the supply, and disconnect before touching.

plan "${title.replaceAll('"', '')}" {
  frame-rate  40 fps
  air         ${metric ? '-10 degC to 30 degC' : '15 degF to 85 degF'}
  design-for  full-white at 100 %
}

place shed "Where the supply stands"
place door "Where the pixels hang"
route shed to door  ${way}  limit 2 cables

supply psu  of ${kit.supply}  at shed {
  set     ${volts} V
  output  1  fuse 5 A
}

controller box  of small-board  at shed  from psu.1

## Change a number and see what it does. Point at any word to see what it means.
run first  from box.1  at door {
  lead    ${lead}  of three-core-18
  string  ${kit.pixels} px  of ${kit.pixel}  every ${pitch}
}

# Parts. Write down what stands on the data sheets of yours.

${kit.parts}
part cable three-core-18 "three-core 18 AWG" {
  conductor  18 AWG
  carries    V+ ground data
  rated      7 A
}

part controller small-board "4-port controller, fused ports" {
  ports        4
  port-pixels  800 px
  port-fuse    5 A
  draws        0.3 A
  accepts      5 V to 24 V
  lead-limit   10 m
}
`;
}

interface Kit {
  readonly pixel: string;
  readonly pixels: number;
  readonly supply: string;
  readonly parts: string;
}

const twelve: Kit = {
  pixel: 'bullet-12',
  pixels: 50,
  supply: 'enclosed-12v-150w',
  parts: `part pixel bullet-12 "12 V bullet" {
  voltage  12 V
  accepts  9 V to 13.5 V
  least    10.8 V
  red      18.5 mA  knee 7.2 V  dark 6 V
  green    18.5 mA  knee 10.4 V  dark 9.6 V
  blue     18.5 mA  knee 10.4 V  dark 9.6 V
  idle     1 mA
  wire     18 AWG
  rated    4 A
  data     24 bits at 800 kHz  reset 280 us
}

part supply enclosed-12v-150w "enclosed 12 V 150 W supply" {
  voltage       12 V
  adjust        10.8 V to 13.2 V
  rated         12.5 A
  power         150 W
  droop         3 mohm
  efficiency    85 %
  power-factor  55 %
}
`,
};

const five: Kit = {
  pixel: 'bullet-5',
  pixels: 20,
  supply: 'enclosed-5v-100w',
  parts: `part pixel bullet-5 "5 V bullet" {
  voltage  5 V
  accepts  3.8 V to 5.5 V
  least    4.5 V
  red      18.5 mA  knee 2.4 V  dark 1.8 V
  green    18.5 mA  knee 3.4 V  dark 2.8 V
  blue     18.5 mA  knee 3.4 V  dark 2.8 V
  idle     1 mA
  wire     18 AWG
  rated    4 A
  data     24 bits at 800 kHz  reset 280 us
}

part supply enclosed-5v-100w "enclosed 5 V 100 W supply" {
  voltage       5 V
  adjust        4.5 V to 5.5 V
  rated         20 A
  power         100 W
  droop         2 mohm
  efficiency    82 %
  power-factor  55 %
}
`,
};
