import { expect, test } from 'vitest';
import { Host } from '#server/analysis/host.ts';

/**
 * One string of constant-current pixels fed at its start. The closed form, with all wires of 18 AWG:
 *   V(N) = Vs - I (N (R_droop + R_fuse + 2 R_splice + 2 R_feed) + 2 r N (N + 1) / 2)
 * R in ohm per metre: 1.724138e-2 ohm mm2/m (IEC 60028) / 0.822958 mm2 (ASTM B258) * 1.02 (ASTM B8, from memory)
 * * (1 + 0.00393 (T - 20)).
 */
function leastVolts(supplies: number, pixels: number, celsius: number): number {
  const area = (Math.PI / 4) * (0.127 * 92 ** ((36 - 18) / 39)) ** 2;
  const perMetre = (1 / 58 / area) * 1.02 * (1 + 0.00393 * (celsius - 20));
  const count = 50;
  const current = 0.06 * pixels;
  const common = 0.002 + 0.001 + 2 * 0.001 + 2 * 3 * perMetre;
  return 12 * supplies - current * (count * common + 2 * 0.1 * perMetre * ((count * (count + 1)) / 2));
}

const plan = (tolerance: string, least: string) => `plan "corner" {
  air 0 degC to 40 degC
  ${tolerance}
}
part pixel steady {
  voltage 12 V
  least   ${least}
  red     60 mA  knee 3 V  dark 2 V
  idle    0 mA
  wire    18 AWG
}
part cable pair {
  conductor 18 AWG
  carries   V+ ground
}
part cable data {
  conductor 18 AWG
  carries   data
}
part supply bench {
  voltage 12 V
  rated   20 A
  droop   2 mohm
}
part controller board {
  ports 1
}
supply psu  of bench {
  output  1  fuse 5 A  cold 1 mohm
}
controller box  of board
bond grounds  from psu to box  1 m  of pair
run row  from box.1 {
  lead   1 m  of data
  string 50 px  of steady  every 100 mm
}
feed start  from psu.1  to row.start  3 m  of pair
`;

function lowVoltage(text: string): string[] {
  const host = new Host(() => ({ missing: true }));
  host.setFile('file:///plan.festoon', text);
  const { findings } = host.analyse('file:///plan.festoon');
  expect(findings.filter((finding) => finding.code !== 'low-voltage')).toEqual([]);
  return findings.map((finding) => finding.message);
}

test('without tolerances the nominal voltage at the warmest air is judged', () => {
  const nominal = leastVolts(1, 1, 40);
  expect(lowVoltage(plan('', `${(nominal - 0.01).toFixed(3)} V`))).toEqual([]);
  const [message] = lowVoltage(plan('', `${(nominal + 0.01).toFixed(3)} V`));
  expect(message).toContain(`row sags to ${nominal.toFixed(2)} V at pixel 50`);
  expect(message).not.toContain('corner');
});

test('with tolerances the worst corner is judged and named', () => {
  const worst = leastVolts(0.98, 1.05, 40);
  const tolerance = 'tolerance supplies 2 %  pixels 5 %';
  expect(worst).toBeLessThan(leastVolts(1, 1, 40) - 0.2);
  expect(lowVoltage(plan(tolerance, `${(worst - 0.01).toFixed(3)} V`))).toEqual([]);
  const [message] = lowVoltage(plan(tolerance, `${(worst + 0.01).toFixed(3)} V`));
  expect(message).toContain(`row sags to ${worst.toFixed(2)} V at pixel 50`);
  expect(message).toContain('Worst corner: supplies \u22122 %, pixels +5 %, air at 40 degC.');
});
