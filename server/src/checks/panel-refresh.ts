import { panelsOf, type Refresh, refreshOf } from '../model/fixtures.ts';
import type { Plan, Run } from '../model/plan.ts';
import type { Setting } from '../model/setting.ts';
import { count } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';

export const panelRefresh: Check = {
  code: 'panel-refresh',
  level: 'warning',
  title: 'A chain of panels is too long to show its picture often enough',
  explanation: `A multiplexed panel lights its rows in turn and makes its brightness from bit planes that are lit for 1, 2, 4 … times as long
(binary-coded modulation). While one plane is lit the next one is shifted through the whole chain. So one picture takes

turns × shifts × clocks of a line ÷ clock, where a line takes columns × rows ÷ (2 × turns) clocks for each panel, and the
shifts are 2^bits − 1, or with s shortened planes s + 2^(bits − s) − 1.

The picture is to be shown at least 100 times a second (common practice: below it people see flicker and cameras see
bars), or as often as the part's \`refresh\` line says, and no more seldom than the plan's frames.

What helps: fewer panels on a port, fewer bits, more shortened planes, or a board with a faster clock.`,
  run: ({ plan }, report) => {
    for (const run of plan.runs.values()) {
      const panels = panelsOf(run);
      const refresh = refreshOf(panels.map((piece) => piece.part.panel));
      const first = panels[0];
      if (refresh === undefined || first === undefined) continue;
      const least = leastRefresh(plan, run);
      const found = 1 / refresh.seconds;
      if (!exceeds(least.value, found)) continue;
      const fit = Math.floor((panels.length * found) / least.value + 1e-9);
      report({
        code: 'panel-refresh',
        excess: least.value / found - 1,
        origin: first.line.countOrigin,
        subject: run.name,
        message: `${count(panels.length, 'panel')} on ${run.name} show their picture ${found.toFixed(1)} times a second, ${timeText(refresh)} each; ${Number(least.value.toFixed(1))} Hz is the least (${least.source}). ${remedy(run, fit, panels.length)}`,
        related: least.origin === undefined ? [] : [{ origin: least.origin, message: 'The least rate.' }],
      });
    }
  },
};

/** The least rate of the run's panels, or the frame rate where that is higher. */
export function leastRefresh(plan: Plan, run: Run): Setting<number> {
  return panelsOf(run)
    .map((piece) => piece.part.panel.refresh)
    .reduce((a, b) => (b.value > a.value ? b : a), plan.design.frameRate);
}

function timeText({ seconds, clocks, slots }: Refresh): string {
  return `${(seconds * 1000).toFixed(2)} ms (${slots} shifts of ${clocks.toLocaleString('en')} clocks in each turn)`;
}

function remedy(run: Run, fit: number, panels: number): string {
  const other = 'shorten more bit planes, or take fewer bits';
  if (fit < 1) return `Even one panel takes too long: ${other}.`;
  const ports = Math.ceil(panels / fit);
  return `Put at most ${fit} on a port (${ports} ports for ${run.name}), ${other}.`;
}
