import type { Run, StringPiece } from '../model/plan.ts';
import type { Check } from './check.ts';

export const portPixels: Check = {
  code: 'port-pixels',
  level: 'error',
  title: 'A run has more pixels than its port can drive in a frame',
  explanation: `Pixels get their data one after the other: 24 bits at 800 kHz take 30 µs a pixel, and a pause ends the frame. So the
frame rate bounds the pixels of a port: (1 / frame rate − pause) / time per pixel. The board has a limit of its own
(\`port-pixels\`).

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

function milliseconds(seconds: number): string {
  return `${(seconds * 1000).toFixed(2)} ms`;
}

/** The frame rate that all pixels would fit, if it still is a moving picture. */
function slower(time: number): string {
  const rate = Math.floor(1 / time);
  return rate < 10 ? '' : `, or plan for ${rate} fps`;
}

/** Seconds that one frame of a run takes on its data wire, pause included. */
export function frameTime(run: Run): number {
  let time = 0;
  let reset = 0;
  for (const piece of run.pieces) {
    if (piece.kind !== 'string') continue;
    const { data } = (piece satisfies StringPiece).part;
    time += (piece.count * data.bits) / data.rate;
    reset = Math.max(reset, data.reset);
  }
  return time + reset;
}
