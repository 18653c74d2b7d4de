import { describe, expect, it } from 'vitest';
import { frameTime } from '#server/model/frame-time.ts';
import { analysePlan } from '../../support/plans.ts';

/** Seconds of a frame of so many pixels, whose part has a line for its data. */
function time(pixels: number, ...lines: string[]): number {
  const { analysis } = analysePlan(`use "bench.festoon"
controller box  of data-board
part pixel one {
  voltage  5 V
  red      1 mA  knee 3 V  dark 2 V
  wire     18 AWG
  ${lines.join('\n  ')}
}
run r  from box.1 {
  string ${pixels} px  of one  every 10 mm
}
`);
  const [run] = [...analysis.plan.runs.values()];
  return run === undefined ? Number.NaN : frameTime(run);
}

describe('the time of a frame', () => {
  it.each([
    // Datasheets of the WS2811 and its kin: at least 1024 pixels at 30 frames a second and 800 kbit/s, 512 at 400 kbit/s.
    [1024, 'data 24 bits at 800 kHz reset 300 us', 1024 * 30e-6 + 300e-6, 30],
    [512, 'data 24 bits at 400 kHz reset 50 us', 512 * 60e-6 + 50e-6, 30],
    // SK6812 with white, 32 bits: 40 us a pixel. UCS8904B, 64 bits: 80 us a pixel. Three colours of 16 bits: 60 us.
    [100, 'data 32 bits at 800 kHz reset 80 us', 0.00408, 40],
    [100, 'data 64 bits at 800 kHz reset 300 us', 0.0083, 40],
    [100, 'data 48 bits at 800 kHz reset 300 us', 0.0063, 40],
    // TM1814: eight bytes in front of the pixels set their current: 64 x 1.25 us.
    [100, 'data 32 bits at 800 kHz reset 300 us start 64 bits', 0.00008 + 0.004 + 0.0003, 40],
    // APA102: a start frame of 32 bits, 32 bits a pixel, half a clock a pixel at the end; 101 pixels need 51.
    [101, 'data 32 bits at 1000 kHz clocked', (32 + 101 * 32 + 51) * 1e-6, 40],
    [100, 'data 32 bits at 4 MHz clocked end 0 bits start 0 bits', 0.0008, 40],
  ])('%i px, %s', (pixels, line, seconds, framesPerSecond) => {
    expect(time(pixels, line)).toBeCloseTo(seconds, 9);
    expect(time(pixels, line)).toBeLessThan(1 / framesPerSecond);
  });

  it('of a DMX512-A line: 22,676 us when full, 1,204 us with 24 slots and shorter marks (ANSI E1.11, makers of testers)', () => {
    // Break 92 us, mark 12 us, start code and slots of 44 us. A packet of 24 slots is printed as 1196 us with the break of
    // 88 us and the mark of 8 us of the standard of 1990: 8 us less.
    expect(time(128, 'dmx', 'slots 4')).toBeCloseTo(0.022676, 9);
    expect(time(8, 'dmx')).toBeCloseTo(0.001196 + 0.000008, 9);
  });

  it('counts the slots of the colours that a fixture has', () => {
    expect(time(1, 'white 1 mA  knee 3 V  dark 2 V', 'dmx')).toBeCloseTo(104e-6 + 5 * 44e-6, 9);
  });
});
