import type { PixelData } from '../model/data-side.ts';
import { firstOfParts } from '../model/frame-time.ts';
import type { Check } from './check.ts';

export const mixedData: Check = {
  code: 'mixed-data',
  level: 'error',
  title: 'Pixels of different protocols on one port',
  explanation: `A port sends one stream: one bit rate, one number of bits a pixel, with or without a clock. Pixels that expect
another stream show nonsense, and so does all that follows them. Parts whose pause differs may share a port; the longest
holds.

What helps: a port for each kind of pixel, or the same kind for the whole run. The protocol stands in the \`data\` line of
the part.`,
  run: ({ plan }, report) => {
    for (const run of plan.runs.values()) {
      // What panels share a port with is another check's question.
      const [first, ...others] = firstOfParts(run).filter(({ part }) => part.kind === 'pixel');
      const other = others.find(({ part }) => first !== undefined && differs(part.data, first.part.data));
      if (first === undefined || other === undefined) continue;
      report({
        code: 'mixed-data',
        origin: other.origin,
        subject: run.name,
        message: `${other.part.name} takes ${protocolText(other.part.data)}, but ${run.name} starts with ${first.part.name}, which takes ${protocolText(first.part.data)}. Give it a port of its own.`,
        related: [
          { origin: other.part.data.origin ?? other.part.origin, message: `${other.part.name} is described here.` },
          { origin: first.part.data.origin ?? first.part.origin, message: `${first.part.name} is described here.` },
        ],
      });
    }
  },
};

function differs(a: PixelData, b: PixelData): boolean {
  // Fixtures of any number of slots share a DMX line.
  if (a.protocol === 'dmx' && b.protocol === 'dmx') return false;
  return a.protocol !== b.protocol || a.bits !== b.bits || a.rate !== b.rate;
}

function protocolText({ protocol, bits, rate }: PixelData): string {
  if (protocol === 'dmx') return 'DMX512-A';
  return `${bits} bits at ${rate / 1000} kHz${protocol === 'clocked' ? ' with a clock' : ''}`;
}
