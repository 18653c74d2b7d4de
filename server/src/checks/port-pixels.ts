import type { Report } from '../model/finding.ts';
import { addressedPixels, panelsOf } from '../model/fixtures.ts';
import { frameTime } from '../model/frame-time.ts';
import { boardsTo, driverOf } from '../model/links.ts';
import type { Plan, Run } from '../model/plan.ts';
import { portOrigin } from '../model/port-of.ts';
import { count } from '../model/texts.ts';
import type { Check } from './check.ts';
import { exceeds } from './limits.ts';
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
    for (const runs of sharingLinks(plan.runs.values())) lookAtShared(plan, runs, report);
    for (const run of plan.runs.values()) {
      const most = leastOf(run);
      const pixels = addressedPixels(run);
      if (most !== undefined && pixels > most.value) {
        report({
          code: 'port-pixels',
          origin: portOrigin(run),
          subject: run.name,
          message: `${sizeOf(run)}; a port of ${most.part} drives ${most.value}. ${remedy(run, pixels / most.value)}`,
        });
        continue;
      }
      const slots = dmxSlots(run);
      if (slots > SLOTS_OF_LINE) {
        report({
          code: 'port-pixels',
          origin: portOrigin(run),
          subject: run.name,
          message: `The fixtures of ${run.name} take ${slots} slots; a line has ${SLOTS_OF_LINE} (ANSI E1.11). Split it over ${Math.ceil(slots / SLOTS_OF_LINE)} ports.`,
        });
        continue;
      }
      if (panelsOf(run).length > 0) continue; // Their bound is the refresh.
      const time = frameTime(run);
      const rate = plan.design.frameRate.value;
      if (!exceeds(time, 1 / rate)) continue;
      report({
        code: 'port-pixels',
        origin: portOrigin(run),
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

function sizeOf(run: Run): string {
  const panels = panelsOf(run).length;
  const of = panels === 0 ? '' : ` on ${count(panels, 'panel')}`;
  return `${run.name} has ${addressedPixels(run)} pixels${of}`;
}

/** A port that drives less than one panel is none for panels, whatever is split. */
function remedy(run: Run, times: number): string {
  const panels = panelsOf(run).length;
  if (panels === 0 || times <= panels) return `Split it over ${Math.ceil(times)} ports.`;
  return 'Such a port is made for strings of pixels: put the panels on a board for panels (scan board), whose ports drive a ribbon.';
}

/** The slots of a port that drives fixtures on a DMX512-A line, 0 for pixels. */
function dmxSlots(run: Run): number {
  let slots = 0;
  for (const piece of run.pieces)
    if (piece.kind === 'string' && piece.part.data.protocol === 'dmx') slots += piece.count * piece.part.slots.value;
  return slots;
}

const SLOTS_OF_LINE = 512;

/** The tighter limit of the board that drives the run and of the controller that makes its data. */
function leastOf(run: Run): { readonly value: number; readonly part: string } | undefined {
  const boards = run.controller === undefined ? [] : boardsTo(run.controller);
  return boards
    .flatMap(({ part }) => (part?.portPixels === undefined ? [] : { value: part.portPixels.value, part: part.name }))
    .reduce<{ value: number; part: string } | undefined>(
      (a, b) => (a === undefined || b.value < a.value ? b : a),
      undefined,
    );
}

/** Runs on receivers that share one port of a controller, each list in the order of the plan. */
function sharingLinks(runs: Iterable<Run>): Run[][] {
  const byPort = new Map<string, Run[]>();
  for (const run of runs) {
    const driver = driverOf(run);
    if (driver === undefined || driver.board === driver.source) continue;
    const port = `${driver.source.name}.${driver.sourcePort}`;
    byPort.set(port, [...(byPort.get(port) ?? []), run]);
  }
  return [...byPort.values()].filter((list) => list.length > 1);
}

/** Receivers in a chain share the port: the pixels of all their runs count. */
function lookAtShared(plan: Plan, runs: readonly Run[], report: Report): void {
  const [first] = runs;
  const last = runs.at(-1);
  const driver = first === undefined ? undefined : driverOf(first);
  if (first === undefined || last === undefined || driver === undefined) return;
  const sum = runs.reduce((total, run) => total + run.pixelCount, 0);
  const time = runs.reduce((total, run) => total + frameTime(run), 0);
  const most = driver.source.part?.portPixels?.value ?? Number.POSITIVE_INFINITY;
  const rate = plan.design.frameRate.value;
  if (sum <= most && !exceeds(time, 1 / rate)) return;
  const port = `${driver.source.name}.${driver.sourcePort}`;
  const limit =
    sum > most
      ? `it drives ${most}`
      : `they take ${milliseconds(time)} on the data wire, and a frame at ${rate} fps lasts ${milliseconds(1 / rate)}`;
  report({
    code: 'port-pixels',
    origin: portOrigin(last),
    subject: last.name,
    message: `${runs.map(({ name }) => name).join(' and ')} share port ${port} and have ${sum} pixels together; ${limit}. Give one of the receivers ports of its own.`,
    related: runs
      .slice(0, -1)
      .map((run) => ({ origin: portOrigin(run), message: `${run.name} has ${run.pixelCount}.` })),
  });
}

function milliseconds(seconds: number): string {
  return `${(seconds * 1000).toFixed(2)} ms`;
}

/** The frame rate that all pixels would fit, if it still is a moving picture. */
function slower(time: number): string {
  const rate = Math.floor(1 / time);
  return rate < 10 ? '' : `, or plan for ${rate} fps`;
}
