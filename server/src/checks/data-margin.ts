import { type DataMargin, dataMargins } from '../model/data-margin.ts';
import type { Run } from '../model/plan.ts';
import { portOrigin } from '../model/port-of.ts';
import { volts } from '../model/texts.ts';
import type { Check } from './check.ts';

export const dataMargin: Check = {
  code: 'data-margin',
  level: 'warning',
  ofLoad: true,
  title: 'Too little is left of the data signal at a pixel',
  explanation: `A pixel reads a one above a share of its logic voltage, measured from its own ground (0.7 of the supply in the
datasheets of the WS2812B and its kin), and a zero below the rest of it. Current in the ground wire lifts the ground of the
pixel above that of the port, and what it lifts is missing from the signal. Below zero nothing is read; a little above it
the pixels flicker. What must be left is 0.4 V, the noise margin of TTL; the \`data-margin\` line of the plan says otherwise.

The same holds from the last pixel in front of a gap to the first behind it.

What helps: a thicker ground wire in the lead or gap, a feed nearer to the first pixel, a bond between the grounds, a port
that drives 5 V (\`drives\` of the controller part), or a null pixel near the port.`,
  run: ({ plan, account }, report) => {
    const limit = plan.design.data.margin;
    for (const load of account.runs.values()) {
      let worst: DataMargin | undefined;
      for (const found of dataMargins(load)) if (worst === undefined || found.margin < worst.margin) worst = found;
      if (worst === undefined || worst.margin >= limit.value - 1e-9) continue;
      report({
        code: 'data-margin',
        ...(worst.margin < 0 ? { level: 'error' as const } : {}),
        excess: limit.value - worst.margin,
        origin: worst.sender === 0 ? portOrigin(load.run) : worst.piece.origin,
        subject: load.run.name,
        message: `${whatIsLeft(load.run, worst)} At least ${volts(limit.value)} should be left (${limit.source}). ${advice(worst)}`,
      });
    }
  },
};

function whatIsLeft(run: Run, { pixel, sender, drive, shift, threshold, margin }: DataMargin): string {
  const from = sender === 0 ? 'the port' : `pixel ${sender}`;
  const ground = `its ground stands ${volts(Math.abs(shift))} ${shift < 0 ? 'below' : 'above'} that of ${from}`;
  const left = margin < 0 ? 'so its data is not read.' : `so ${volts(margin)} are left.`;
  return `Pixel ${pixel} of ${run.name} reads a one above ${volts(threshold)}; ${from} sends ${volts(drive)}, and ${ground}, ${left}`;
}

function advice({ sender, drive, shift, threshold }: DataMargin): string {
  if (Math.abs(shift) < 0.1 && drive - threshold < 1)
    return 'Use a port or a buffer that drives 5 V, or a null pixel near it.';
  return sender === 0
    ? 'Use a thicker lead, or feed the run nearer to its first pixel.'
    : 'Use a thicker cable in the gap, or feed behind it.';
}
