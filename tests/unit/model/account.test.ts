import { describe, expect, it } from 'vitest';
import { pixelsOf } from '#server/model/account.ts';
import { analysePlan } from '../../support/plans.ts';

/**
 * Plans against ladders that were solved with ngspice, and against textbook distributors. What stands in the references
 * and not in a plan (ideal supplies, no contacts) is brought as near as a plan can be written: a micro-ohm each.
 */

/**
 * A wire of some milliohm a metre: its area, by 17.241 ohm mm2 / km and 2 % for stranding. Five digits, so that no
 * nominal size is hit, which would be taken by its standard.
 */
const wire = (milliohmPerMetre: number) => `${((1.02 * (1000 / 58)) / milliohmPerMetre).toFixed(6)} mm2`;

interface Ladder {
  readonly volts: number;
  readonly pixels: number;
  readonly pitch: string;
  /** The line of the pixel part that says what it draws. */
  readonly draws: string;
  readonly string: number;
  /** Where it is fed, through how many metres of what, mohm per metre. */
  readonly feeds: readonly (readonly [at: string, metres: number, milliohm: number])[];
}

function solved(ladder: Ladder) {
  const cables = [...new Set(ladder.feeds.map(([, , milliohm]) => milliohm))];
  const { analysis } = analysePlan(`
part pixel dot {
  voltage ${ladder.volts} V
  ${ladder.draws}
  idle 0 mA
  wire ${wire(ladder.string)}
  rated 500 A
}
${cables.map((milliohm) => `part cable c${Math.round(milliohm * 1000)} {\n  conductor ${wire(milliohm)}\n  carries V+ ground\n  rated 500 A\n}`).join('\n')}
part cable data-wire {
  conductor 18 AWG
  carries data
}
part connector none {
  rated 500 A
  contact 0.001 mohm
}
part supply ideal {
  voltage ${ladder.volts} V
  rated 500 A
  droop 0 mohm
}
part controller board {
  ports 1
  draws 0.001 mA
}
supply psu  of ideal {
  output 1
}
controller box  of board  from psu.1
run ladder  from box.1 {
  lead 1 m  of data-wire
  string ${ladder.pixels} px  of dot  every ${ladder.pitch}
}
${ladder.feeds.map(([at, metres, milliohm], index) => `feed f${index}  from psu.1  to ladder${at}  ${metres} m  of c${Math.round(milliohm * 1000)}  with none`).join('\n')}`);
  const [run] = analysis.account.runs.values();
  const [supply] = analysis.account.supplies.values();
  if (run?.least === undefined || supply === undefined) throw new Error('the ladder was not solved');
  return { ...pixelsOf(run), least: run.least, amps: supply.amps, runAmps: run.amps };
}

describe('ladders solved with ngspice', () => {
  const steady = (milliamps: number) => `red ${milliamps} mA  knee 2 V  dark 1 V`;

  it('50 pixels of 60 mA at 12 V', () => {
    const { volts, amps } = solved({
      volts: 12,
      pixels: 50,
      pitch: '0.1 m',
      draws: steady(60),
      string: 20.948,
      feeds: [['.start', 3, 20.948]],
    });
    expect(volts[49]).toBeCloseTo(11.30244, 4);
    expect(amps).toBeCloseTo(3, 4);
  });

  it('100 pixels of 60 mA at 12 V', () => {
    const { volts, least } = solved({
      volts: 12,
      pixels: 100,
      pitch: '0.1 m',
      draws: steady(60),
      string: 20.948,
      feeds: [['.start', 3, 20.948]],
    });
    expect(volts[99]).toBeCloseTo(9.97644, 4);
    expect(least.pixel).toBe(100);
  });

  it('the same with injection at the far end', () => {
    const { volts, least } = solved({
      volts: 12,
      pixels: 100,
      pitch: '0.1 m',
      draws: steady(60),
      string: 20.948,
      feeds: [
        ['.start', 3, 20.948],
        ['.end', 15, 8.285],
      ],
    });
    expect(volts[99]).toBeCloseTo(11.36589, 4);
    expect(least.volts).toBeCloseTo(11.14398, 4);
    expect(least.pixel).toBe(58);
  });

  it('100 pixels of 55 mA at 5 V', () => {
    const { volts } = solved({
      volts: 5,
      pixels: 100,
      pitch: '0.1 m',
      draws: steady(55),
      string: 20.948,
      feeds: [['.start', 1, 20.948]],
    });
    expect(volts[99]).toBeCloseTo(3.60593, 4);
  });

  it('200 pixels of 30 mA, fed at the start, in the middle and at the end', () => {
    const { volts, least } = solved({
      volts: 12,
      pixels: 200,
      pitch: '0.1 m',
      draws: steady(30),
      string: 20.948,
      feeds: [
        ['.start', 5, 8.285],
        ['[100]', 15, 8.285],
        ['.end', 25, 8.285],
      ],
    });
    expect(volts[199]).toBeCloseTo(11.40894, 4);
    expect(least.volts).toBeCloseTo(11.26977, 4);
    expect(least.pixel).toBe(153);
  });

  it('100 resistors of 200 ohm', () => {
    const { volts, amps } = solved({
      volts: 12,
      pixels: 100,
      pitch: '0.1 m',
      draws: 'red 60 mA  resistor 200 ohm',
      string: 20.948,
      feeds: [['.start', 3, 20.948]],
    });
    expect(volts[99]).toBeCloseTo(10.23257, 4);
    expect(amps).toBeCloseTo(5.297, 3);
  });
});

describe('textbook distributors', () => {
  // Mehta and Mehta, Principles of Power System, chapter 13. A uniform load in N lumps, each at the end of its piece of
  // wire, loses 1 + 1/N of what it would lose spread evenly.
  it('example 13.7: 250 m, 1.6 A a metre, 0.2 mohm a metre of each wire: 20 V are lost, 15 V of them in the first half', () => {
    // A tenth of the book's volts and amperes, so that it is a plan: 27 V, 1000 loads of 40 mA, 2 V and 1.5 V lost.
    const pixels = 1000;
    const { volts, amps } = solved({
      volts: 27,
      pixels,
      pitch: '0.25 m',
      draws: 'red 40 mA  knee 2 V  dark 1 V',
      string: 0.2,
      feeds: [['.start', 0.001, 1]],
    });
    expect(amps).toBeCloseTo(40, 4);
    expect(27 - (volts[pixels - 1] ?? 0)).toBeCloseTo(2 * (1 + 1 / pixels), 3);
    expect(27 - (volts[pixels / 2 - 1] ?? 0)).toBeCloseTo(1.5, 2);
  });
});

describe('an account', () => {
  it('balances in every part of a display', () => {
    const { analysis } = analysePlan(`
use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 15 A
  outputs 2 to 3  fuse 10 A
}
controller box  of board  from psu.1
run eaves  from box.1 {
  lead 3 m  of lead-18
  string gutter  60 px  of steady-12  every 100 mm
  gap 1 m
  string gable  40 px  of steady-12  every 100 mm
}
feed trunk  from psu.2 {
  cable 4 m  of feed-14
  tap eaves.gable
  cable 4 m  of feed-14 x 2
  tap eaves.end
}`);
    const [run] = analysis.account.runs.values();
    const [feed] = analysis.account.feeds.values();
    const [supply] = analysis.account.supplies.values();
    if (run === undefined || feed === undefined || supply === undefined) throw new Error('not solved');
    // 100 px of 60 mA, and 1 mA of the board.
    expect(run.amps).toBeCloseTo(6, 9);
    expect(supply.amps).toBeCloseTo(6.001, 9);
    expect(run.portAmps + feed.amps).toBeCloseTo(6, 9);
    // What the first piece of the trunk carries is what its taps take.
    const [first, tap, second, end] = feed.pieces;
    expect(first?.positive).toBeCloseTo((tap?.positive ?? 0) + (second?.positive ?? 0), 9);
    expect(second?.positive).toBeCloseTo(end?.positive ?? 0, 9);
    // All ground current comes home too.
    const [lead] = [...run.cables.values()];
    expect((lead?.negative ?? 0) + (first?.negative ?? 0)).toBeCloseTo(6, 9);
    // Every pixel draws its 60 mA.
    for (const amps of pixelsOf(run).amps) expect(amps).toBeCloseTo(0.06, 12);
  });

  it('of a look and a brightness: a third of the colours at half', () => {
    const least = (design: string) => {
      const { analysis } = analysePlan(`plan {\n  design-for ${design}\n}
use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 15 A
}
controller box  of board  from psu.1
run eaves  from box.1 {
  string 60 px  of steady-12  every 100 mm
}`);
      return [...analysis.account.runs.values()][0]?.amps;
    };
    expect(least('full-white')).toBeCloseTo(3.6, 9);
    expect(least('full-white at 50 %')).toBeCloseTo(1.8, 9);
    expect(least('red at 50 %')).toBeCloseTo(0.6, 9);
  });

  it('in warmer air: copper at 30 degC has 3.93 % more than at 20 degC', () => {
    const drop = (air: string) => {
      const { analysis } = analysePlan(`plan {\n  air ${air}\n}
use "bench.festoon"
supply psu  of bench-12 {
  output 1  fuse 15 A
}
controller box  of data-board  from psu.1
run eaves  from box.1 {
  lead 3 m  of data-18
  string 60 px  of steady-12  every 100 mm
}
feed eaves-feed  from psu.1  to eaves.start  10 m  of feed-14`);
      const [run] = analysis.account.runs.values();
      const { volts } = run === undefined ? { volts: [] } : pixelsOf(run);
      return (volts[0] ?? 0) - (volts[59] ?? 0);
    };
    expect(drop('0 degC to 30 degC') / drop('0 degC to 20 degC')).toBeCloseTo(1.0393, 6);
  });
});
