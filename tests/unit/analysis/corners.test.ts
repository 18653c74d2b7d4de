import { describe, expect, test } from 'vitest';
import { Host } from '#server/analysis/host.ts';
import type { Solution, Unsolved } from '#server/electrics/solution.ts';
import { solve } from '#server/electrics/solve.ts';
import { accountsAt } from '#server/model/account.ts';
import { cornersOf, nominal } from '#server/model/corners.ts';
import { SolutionCache } from '#server/model/solution-cache.ts';

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

describe('corners on a structure at hand', () => {
  const corners = [
    'tolerance supplies 2 %  pixels 5 %',
    'tolerance supplies 5 %',
    // So much that the far pixels fall below their knees at one corner and stay above at another.
    'tolerance supplies 9 %  pixels 9 %',
  ];
  const knees = (text: string) => text.replace('knee 3 V  dark 2 V', 'knee 10.9 V  dark 10 V');
  const converters = (text: string) =>
    text.replace('red     60 mA  knee 3 V  dark 2 V', 'converter 0.8 W lockout 6 V').replace('50 px', '200 px');

  test.each(corners)('%s: the same as each corner solved afresh', (tolerance) => {
    for (const text of [plan(tolerance, '9 V'), knees(plan(tolerance, '9 V'))]) {
      const { prepared, fresh } = solveBothWays(text);
      expect(prepared.structures).toBe(1);
      compare(prepared.outcomes, fresh);
    }
  });

  test('pixels that hold their power always start afresh: they may have more than one state', () => {
    const { prepared, fresh } = solveBothWays(converters(plan('tolerance supplies 9 %  pixels 9 %', '9 V')));
    expect(prepared.structures).toBe(prepared.outcomes.length);
    compare(prepared.outcomes, fresh);
  });

  /** Every corner through the cache, and each by `solve` alone. */
  function solveBothWays(text: string) {
    const host = new Host(() => ({ missing: true }));
    host.setFile('file:///plan.festoon', text);
    const { plan: built } = host.analyse('file:///plan.festoon');
    const cache = new SolutionCache();
    const accounts = accountsAt(built, cache, [nominal(built.design), ...cornersOf(built.design)]);
    const islands = accounts.flatMap((account) => account.islands);
    expect(islands.length).toBeGreaterThan(2);
    const outcomes = islands.map(({ outcome }) => outcome);
    return {
      prepared: { outcomes, structures: cache.prepared },
      fresh: islands.map(({ circuit }) => solve(circuit.circuit)),
    };
  }

  function compare(prepared: readonly (Solution | Unsolved)[], fresh: readonly (Solution | Unsolved)[]) {
    prepared.forEach((one, corner) => {
      const other = fresh[corner];
      if (one.status !== 'solved' || other?.status !== 'solved') throw new Error(`corner ${corner} is not solved`);
      expect(one.dead).toEqual(other.dead);
      one.nodeVolts.forEach((volts, node) => {
        if (one.dead[node] === 0) expect(volts).toBeCloseTo(other.nodeVolts[node] ?? Number.NaN, 7);
      });
      one.resistorAmps.forEach((amps, id) => expect(amps).toBeCloseTo(other.resistorAmps[id] ?? Number.NaN, 6));
      one.stretches.forEach(({ leastVolts, leastPixel }, id) => {
        expect(leastVolts).toBeCloseTo(other.stretches[id]?.leastVolts ?? Number.NaN, 7);
        expect(leastPixel).toBe(other.stretches[id]?.leastPixel);
      });
    });
  }
});
