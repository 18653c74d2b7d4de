import type { Random } from './random.ts';

/**
 * A display that is well written and badly fed: one to three small runs on a board, with supplies, fused boards, routes,
 * fuses and cables that are now and then too few, too small or too thin.
 */
export function wantingPlan(random: Random): string {
  const volts = random.chance(0.25) ? 5 : 12;
  const runs = Array.from({ length: random.chance(0.8) ? 1 : 2 + random.below(2) }, (_, index) => `run-${index + 1}`);
  const supplies = random.chance(0.5) ? [1] : [1, 2];
  const isCut = supplies.length > 1 && random.chance(0.4);
  const isPinned = runs.length > 1 && random.chance(0.5);
  const isNear = random.chance(0.5);
  const lines = [
    ...(random.chance(0.4) ? [designOf(random)] : []),
    ...partsOf(random, volts),
    'place shed',
    'place roof',
    `route shed to roof  ${2 + random.below(8)} m${random.chance(0.3) ? `  limit ${runs.length + random.below(4)} cables` : ''}`,
    ...supplies.flatMap((number) => supplyOf(random, volts, number)),
    'controller box  of board  at shed  from psu-1.1',
    ...runs.flatMap((name, index) => runOf(random, name, index + 1, { isNear, isCut, isPinned })),
    ...runs.flatMap((name) => {
      // With a cut, both ends are fed, each by a supply of its own.
      if (isCut) {
        const ends = supplies.map((number) => endOf(random, name, number, isNear));
        // Now and then the second supply comes in before the cut too, and meets the first.
        const middle = `feed ${name}-middle  from psu-2.1  to ${name}.s2  ${3 + random.below(9)} m  of thin`;
        return random.chance(0.4) ? [...ends, middle] : ends;
      }
      return random.chance(0.3) ? [feedOf(random, name, random.pick(supplies))] : [];
    }),
  ];
  return `${lines.join('\n')}\n`;
}

function designOf(random: Random): string {
  const tolerance = random.chance(0.3) ? '  tolerance supplies 1 % pixels 5 %\n' : '';
  return `plan "drawn" {\n  design-for full-white at ${40 + random.below(61)} %\n${tolerance}}`;
}

function partsOf(random: Random, volts: number): string[] {
  const [red, blue, least] =
    volts === 5 ? ['2.8 V  dark 2 V', '4 V  dark 3.2 V', 4.5] : ['7.2 V  dark 6 V', '10.4 V  dark 9.6 V', 10.8];
  const data = random.chance(0.5) ? 'ground data' : 'V+ ground data';
  return [
    `part pixel bullet {\n  voltage ${volts} V\n  least ${least} V\n  red 18.5 mA  knee ${red}\n  green 18.5 mA  knee ${blue}\n  blue 18.5 mA  knee ${blue}\n  wire ${random.pick([16, 18, 20])} AWG\n${random.chance(0.4) ? '  rated 5 A\n' : ''}}`,
    `part cable lead {\n  conductor 18 AWG\n  carries ${data}\n}`,
    ...[18, 16, 14, 12]
      .filter(() => random.chance(0.6))
      .map((gauge) => `part cable two-core-${gauge} {\n  conductor ${gauge} AWG\n  carries V+ ground\n}`),
    `part cable thin {\n  conductor 18 AWG\n  carries V+ ground\n${random.chance(0.3) ? '  rated 5 A\n' : ''}}`,
    `part supply psu-part {\n  voltage ${volts} V\n  rated ${random.pick([6, 12, 30, 60])} A\n}`,
    `part controller board {\n  ports 4\n  port-fuse 5 A\n${random.chance(0.3) ? `  port-pixels ${40 + random.below(60)} px\n` : ''}}`,
  ];
}

function supplyOf(random: Random, volts: number, number: number): string[] {
  const fuse = () => `${random.pick([1, 2, 3, 5, 7.5, 10, 15])} A`;
  const set = random.chance(0.3) ? `  set ${volts + 0.2} V\n` : '';
  const spare = random.chance(0.5) ? `  outputs 4 to ${6 + random.below(3)}  fuse ${fuse()}\n` : '';
  const psu = `supply psu-${number}  of psu-part  at shed {\n${set}  output 1  fuse ${fuse()}\n  output 2  fuse ${fuse()}\n  output 3\n${spare}}`;
  const side = `board side-${number}  from psu-${number}.3  2 m  of thin x 4  at roof {\n  output 1  fuse ${fuse()}\n  output 2  fuse ${fuse()}\n}`;
  return random.chance(0.3) ? [psu, side] : [psu];
}

interface RunTraits {
  readonly isNear: boolean;
  readonly isCut: boolean;
  readonly isPinned: boolean;
}

function runOf(random: Random, name: string, port: number, { isNear, isCut, isPinned }: RunTraits): string[] {
  const count = () => 10 + random.below(50);
  const length = isCut ? 3 + random.below(3) : 1 + random.below(3);
  const cutAt = isCut ? 1 + random.below(length - 1) : 0;
  const strings = Array.from({ length }, (_, index) => {
    const cut = index > 0 && index === cutAt ? '  cut V+\n' : '';
    const gap = index > 0 && random.chance(0.3) ? `  gap ${1 + random.below(15)}00 mm\n` : '';
    const noTap = random.chance(0.1) ? '  no-tap' : '';
    const element = `s${index + 1}`;
    if (random.chance(0.2))
      return `${cut}${gap}  matrix ${element}  ${2 + random.below(4)} strands x ${8 + random.below(12)} px  of bullet  every 50 mm  spacing 0.1 m${noTap}`;
    return `${cut}${gap}  ${random.pick(['string', 'outline', 'ring', 'arch'])} ${element}  ${count()} px  of bullet  every ${random.pick([30, 75, 100])} mm${noTap}`;
  });
  const pin = () => `  universe ${1 + random.below(2)}${random.pick(['', '', ' slot 4', ' slot 511'])}`;
  const universe = random.chance(isPinned ? 0.9 : 0.1) ? pin() : '';
  const written = random.chance(0.2) ? `${2 + random.below(10)} m  ` : '';
  return [
    `run ${name}  from box.${port}  at ${isNear ? 'shed' : 'roof'}${universe} {`,
    isNear ? `  lead ${1 + random.below(6)} m  of lead` : `  lead ${written}along shed to roof  of lead`,
    ...strings,
    '}',
  ];
}

/** From output 2 of the first supply to the start, of the second to the end. */
function endOf(random: Random, name: string, number: number, isNear: boolean): string {
  const [side, to] = number === 1 ? ['start', `${name}.s1`] : ['end', `${name}.end`];
  const way = isNear ? '' : '  along shed to roof';
  return `feed ${name}-${side}  from psu-${number}.2  to ${to}  ${3 + random.below(9)} m  of thin${way}`;
}

function feedOf(random: Random, name: string, supply: number): string {
  return `feed ${name}-start  from psu-${supply}.2  to ${name}.${random.pick(['s1', 'end'])}  ${2 + random.below(8)} m  of thin`;
}
