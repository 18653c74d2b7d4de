import type { Design } from '../model/plan.ts';
import { count, share, watts } from '../model/texts.ts';
import { circuitTable, extensionTable, feedTable, routeTable, runTable, supplyTable } from './account-tables.ts';
import { costLines } from './cost-lines.ts';
import { mastLines } from './mast-lines.ts';
import { type Line, styled, wrap } from './page.ts';
import type { Report } from './report.ts';
import { seasonLines } from './season-lines.ts';

/** The account of a display: what each supply, run, feed, route and circuit carries, and how much of its limit that is. */
export function renderAccount(report: Report, name: string, width: number): Line[] {
  if (report.runs.length + report.supplies.length === 0) return [];
  const sections: Line[][] = [
    summary(report, name, width),
    supplyTable(report, width),
    runTable(report, width),
    feedTable(report, width),
    routeTable(report, width),
    circuitTable(report, width),
    extensionTable(report, width),
    seasonLines(report),
    costLines(report),
    mastLines(report, width),
  ];
  return sections.filter((lines) => lines.length > 0).flatMap((lines) => [...lines, []]);
}

function summary({ plan, totals, supplies: given }: Report, name: string, width: number): Line[] {
  const { design } = plan;
  const look = `${design.look.value === 'full-white' ? 'full white' : design.look.value} at ${share(design.brightness.value)}`;
  const designed = `Designed for ${look} and ${design.frameRate.value} fps, with copper at ${temperature(design)}; supplies to ${share(design.supplyShare.value)} of their rating, fuses to ${share(design.fuseShare.value)}.`;
  const power =
    given.length === 0
      ? `${count(totals.pixels, 'pixel')} on ${count(plan.runs.size, 'run')}.`
      : `${count(totals.pixels, 'pixel')} on ${count(plan.runs.size, 'run')} draw ${watts(totals.watts)} from ${count(given.length, 'supply', 'supplies')}; the mains gives about ${watts(totals.mainsWatts)} (${Math.round(totals.mainsVoltAmperes)} VA).`;
  const missing =
    totals.unsolved === 0 ? [] : [styled('For a part of the plan no voltages were found; see the findings.', 'error')];
  return [
    [styled(design.title ?? name, 'strong')],
    ...[power, designed].flatMap((text) => wrap(text, width)).map((text): Line => [text]),
    ...missing.map((piece): Line => [piece]),
  ];
}

function temperature({ air, units }: Design): string {
  const celsius = air.value.to;
  return units === 'metric' ? `${Math.round(celsius)} degC` : `${Math.round(celsius * 1.8 + 32)} degF`;
}
