import type { Plan } from '../model/plan.ts';
import type { Check } from './check.ts';
import * as needs from './needs.ts';

export const tooManyPixels: Check = {
  code: 'too-many-pixels',
  level: 'warning',
  title: 'More pixels than Festoon is made for',
  needs: needs.runs,
  explanation: `Festoon is made for displays of up to a million pixels. A larger one is still computed as far as possible, but answers
come late. Fixes that need a search (where to inject, which cable) are offered up to 100,000 pixels.

What helps: a plan for each part of the display, or one digit less where a number is a slip.`,
  whole: true,
  run: ({ plan }, report) => {
    const pixels = pixelsOfPlan(plan);
    if (pixels <= MOST_PIXELS) return;
    const largest = [...plan.runs.values()].sort((a, b) => b.pixelCount - a.pixelCount)[0];
    if (largest === undefined) return;
    report({
      code: 'too-many-pixels',
      excess: pixels / MOST_PIXELS - 1,
      origin: largest.origin,
      subject: largest.name,
      message: `This display has ${pixels.toLocaleString('en')} pixels, ${largest.pixelCount.toLocaleString('en')} of them on ${largest.name}; Festoon is made for ${MOST_PIXELS.toLocaleString('en')}. Answers come late. Plan the display in parts.`,
    });
  },
};

export const MOST_PIXELS = 1_000_000;

export function pixelsOfPlan(plan: Plan): number {
  let pixels = 0;
  for (const run of plan.runs.values()) pixels += run.pixelCount;
  return pixels;
}
