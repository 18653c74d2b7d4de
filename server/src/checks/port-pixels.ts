import { frameTime } from '../model/frame-time.ts';
import type { Run } from '../model/plan.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';

export const portPixels: Check = {
  code: 'port-pixels',
  level: 'error',
  title: 'A run has more pixels than its port can drive in a frame',
  needs: needs.framedRuns,
  explanation: `Pixels get their data one after the other: 24 bits at 800 kHz take 30 µs a pixel, and a pause ends the frame. So the
frame rate bounds the pixels of a port: (1 / frame rate − pause) / time per pixel. The board has a limit of its own
(\`port-pixels\`).

A DMX512-A line (ANSI E1.11) has 512 slots of 44 µs each: a full one takes 22.7 ms, so 44 frames a second.

What helps: split the run over two ports, or lower the frame rate of the plan.`,
  run: ({ plan }, report) => {
    for (const run of plan.runs.values()) {
      const most = run.controller?.part?.portPixels;
      if (most !== undefined && run.pixelCount > most.value) {
        report({
          code: 'port-pixels',
          origin: run.portOrigin ?? run.origin,
          subject: run.name,
          message: `${run.name} has ${run.pixelCount} pixels; a port of ${run.controller?.part?.name ?? ''} drives ${most.value}. Split it over two ports.`,
        });
        continue;
      }
      const slots = dmxSlots(run);
      if (slots > SLOTS_OF_LINE) {
        report({
          code: 'port-pixels',
          origin: run.portOrigin ?? run.origin,
          subject: run.name,
          message: `The fixtures of ${run.name} take ${slots} slots; a line has ${SLOTS_OF_LINE} (ANSI E1.11). Split it over ${Math.ceil(slots / SLOTS_OF_LINE)} ports.`,
        });
        continue;
      }
      const time = frameTime(run);
      const rate = plan.design.frameRate.value;
      if (time <= (1 / rate) * (1 + 1e-9)) continue;
      report({
        code: 'port-pixels',
        origin: run.portOrigin ?? run.origin,
        subject: run.name,
        message: `The ${run.pixelCount} pixels of ${run.name} take ${milliseconds(time)} on the data wire; a frame at ${rate} fps lasts ${milliseconds(1 / rate)}. Split it over ${Math.ceil(time * rate)} ports${slower(time)}.`,
        related:
          plan.design.frameRate.origin === undefined
            ? []
            : [{ origin: plan.design.frameRate.origin, message: 'The frame rate.' }],
      });
    }
  },
};

/** The slots of a port that drives fixtures on a DMX512-A line, 0 for pixels. */
function dmxSlots(run: Run): number {
  let slots = 0;
  for (const piece of run.pieces)
    if (piece.kind === 'string' && piece.part.data.protocol === 'dmx') slots += piece.count * piece.part.slots.value;
  return slots;
}

const SLOTS_OF_LINE = 512;

function milliseconds(seconds: number): string {
  return `${(seconds * 1000).toFixed(2)} ms`;
}

/** The frame rate that all pixels would fit, if it still is a moving picture. */
function slower(time: number): string {
  const rate = Math.floor(1 / time);
  return rate < 10 ? '' : `, or plan for ${rate} fps`;
}
