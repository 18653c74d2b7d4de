import { usedExtensions } from '../model/circuit-load.ts';
import { amps, metres, volts } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';

const LEAD = 0.03;
const TOTAL = 0.05;

export const extensionDrop: Check = {
  code: 'extension-drop',
  level: 'warning',
  title: 'An extension lead loses too much of the mains voltage',
  explanation: `Line and neutral of the lead both lose voltage: 2 x current x resistance at the warmest air of the plan. One lead
should lose at most 3 %, and all of them up to the load at most 5 % (common practice; an informational note of NEC 210.19(A)
recommends the same for branch circuits). The current of supplies without power factor correction comes in short pulses, whose
drop at the peak is larger still.

What helps: a shorter lead, one of larger conductors, or a supply that stands nearer to the socket.`,
  whole: true,
  run: ({ plan, account }, report) => {
    for (const { extension, owner, circuit, amps: load, drop, total } of usedExtensions(plan, account)) {
      const mains = circuit?.volts;
      if (mains === undefined || drop === undefined || total === undefined) continue;
      const own = drop / mains;
      const whole = total / mains;
      const worst = Math.max(own / LEAD, whole / TOTAL);
      if (!exceeds(worst, 1)) continue;
      const before =
        total > drop ? `; with the lead before it ${volts(total)}, ${percent(whole)} (5 % is the most)` : '';
      report({
        code: 'extension-drop',
        excess: worst - 1,
        origin: extension.origin,
        subject: owner.name,
        message: `The ${metres(extension.length, plan.design.units)} lead of ${owner.name} loses ${volts(drop)} at ${amps(load)}, ${percent(own)} of ${mains} V; 3 % is good practice${before}. Use a shorter or thicker lead.`,
      });
    }
  },
};

function percent(share: number): string {
  return `${(share * 100).toFixed(1)} %`;
}
