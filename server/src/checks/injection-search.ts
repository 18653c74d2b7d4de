import type { Edit, Finding, Origin } from '../model/finding.ts';
import { ratedFuse } from '../model/fuses.ts';
import type { Run, Supply } from '../model/plan.ts';
import { metres, rating } from '../model/texts.ts';
import type { Preview, SuggestContext } from './check.ts';
import {
  distanceTo,
  freeName,
  fullAmps,
  type Joint,
  jointsOf,
  lastFeedOf,
  usedOutputs,
  type WiredCable,
} from './reach.ts';
import { worsens } from './worsens.ts';

/** The codes that more injection cures. */
export const CURED_BY_INJECTION: ReadonlySet<string> = new Set([
  'low-voltage',
  'voltage-collapse',
  'no-power',
  'port-overloaded',
  'conductor-overloaded',
  'connector-overloaded',
  'cable-overloaded',
]);

export interface Suggestion {
  readonly taps: readonly PlannedTap[];
  readonly cable: WiredCable;
  readonly edits: readonly Edit[];
  readonly least: number;
  readonly cables: number;
  /** m3 of copper: length by cross-section. */
  readonly copper: number;
  readonly metres: number;
}

export interface PlannedTap {
  /** Pixel number along the run; the tap is named after the joint there if there is one. */
  readonly pixel: number;
  readonly text: string;
  readonly output: number;
  readonly fuse: number | undefined;
  readonly length: number;
}

const MOST_TAPS = 12;

/** Finds taps for one run from one supply with one kind of cable. */
export class InjectionSearch {
  private readonly ctx: SuggestContext;
  private readonly run: Run;
  private readonly supply: Supply;
  private readonly cable: WiredCable;
  /** One cable with all taps instead of a feed for each. */
  private readonly trunk: boolean;
  private readonly joints: readonly Joint[];
  private readonly before: readonly Finding[];

  constructor(ctx: SuggestContext, run: Run, supply: Supply, cable: WiredCable, trunk: boolean) {
    this.trunk = trunk;
    this.ctx = ctx;
    this.run = run;
    this.supply = supply;
    this.cable = cable;
    this.joints = jointsOf(run);
    this.before = ctx.preview([]).findings;
  }

  find(): Suggestion | undefined {
    let taps: PlannedTap[] = [];
    let state: Preview = this.ctx.preview([]);
    for (;;) {
      if (this.isSound(state, taps)) break;
      if (taps.length >= MOST_TAPS) return undefined;
      const next = this.nextTap(state, taps);
      if (next === undefined) return undefined;
      taps = [...taps, next];
      state = this.ctx.preview(this.editsFor(taps));
    }
    taps = this.prune(this.sizeFuses(taps, state));
    const final = this.ctx.preview(this.editsFor(taps));
    if (taps.length === 0 || !this.isSound(final, taps) || this.makesWorse(final)) return undefined;
    const account = [...final.account.runs.values()].find((other) => other.run.name === this.run.name);
    const metresOf = this.lengths(taps).reduce((sum, length) => sum + length, 0);
    return {
      taps,
      cable: this.cable,
      edits: this.editsFor(taps),
      least: account?.least?.volts ?? 0,
      cables: this.trunk ? 1 : taps.length,
      copper: metresOf * this.cable.conductor.area * 1e-6,
      metres: metresOf,
    };
  }

  private isSound(state: Preview, taps: readonly PlannedTap[]): boolean {
    return (
      !state.findings.some((finding) => finding.subject === this.run.name && CURED_BY_INJECTION.has(finding.code)) &&
      this.overloadedTap(state, taps) === undefined
    );
  }

  /** A planned tap whose output would carry more than its fuse should. */
  private overloadedTap(state: Preview, taps: readonly PlannedTap[]): PlannedTap | undefined {
    const outputs = new Set(
      state.findings.flatMap((finding) => (finding.code === 'fuse-overloaded' ? [finding.subject] : [])),
    );
    return taps.find((tap) => outputs.has(`${this.supply.name}.${tap.output}`));
  }

  private makesWorse(state: Preview): boolean {
    return worsens(this.before, state.findings);
  }

  /** Where the run is worst, or undefined when no output is left. */
  private nextTap(state: Preview, taps: readonly PlannedTap[]): PlannedTap | undefined {
    const account = [...state.account.runs.values()].find((other) => other.run.name === this.run.name);
    if (account === undefined) return undefined;
    const low = account.strings
      .map((string) => ({
        short: (string.piece.part.least?.value ?? 0) - string.least.volts,
        pixel: string.least.pixel,
      }))
      .reduce((a, b) => (b.short > a.short ? b : a), { short: 0, pixel: 0 });
    let pixel = low.pixel;
    const overloaded = this.overloadedTap(state, taps);
    if (overloaded !== undefined && this.trunk) return undefined;
    if (low.short <= 0 && overloaded !== undefined) {
      pixel = this.beside(overloaded.pixel, taps);
    } else if (low.short <= 0) {
      const most = account.strings.reduce((a, b) => (b.most.amps > a.most.amps ? b : a)).most.pixel;
      pixel = Math.round((most + this.nextTapBehind(most, taps)) / 2);
    }
    const joint = this.snap(pixel, taps);
    if (joint === undefined) return undefined;
    const free = this.freeOutput(taps);
    return free === undefined ? undefined : { ...joint, ...free, length: this.lengthTo(joint.pixel) };
  }

  /** The middle of the larger gap on either side of a tap. */
  private beside(pixel: number, taps: readonly PlannedTap[]): number {
    const before = Math.max(1, ...taps.map((tap) => tap.pixel).filter((other) => other < pixel));
    const behind = this.nextTapBehind(pixel, taps);
    return Math.round((pixel + (behind - pixel > pixel - before ? behind : before)) / 2);
  }

  private nextTapBehind(pixel: number, taps: readonly PlannedTap[]): number {
    const behind = taps.map((tap) => tap.pixel).filter((other) => other > pixel);
    return Math.min(this.run.pixelCount, ...behind);
  }

  /** The joint nearest to a pixel if it is within a tenth of the run, else the pixel itself; never one that is taken. */
  private snap(pixel: number, taps: readonly PlannedTap[]): Joint | undefined {
    const taken = new Set(taps.map((tap) => tap.text));
    const reach = Math.max(3, this.run.pixelCount / 10);
    const near = this.joints
      .filter((joint) => Math.abs(joint.pixel - pixel) <= reach && !taken.has(joint.text))
      .sort((a, b) => Math.abs(a.pixel - pixel) - Math.abs(b.pixel - pixel))[0];
    if (near !== undefined) return near;
    const text = `${this.run.name}[${pixel}]`;
    return taken.has(text) ? undefined : { pixel, text };
  }

  /** An output of the supply that nothing uses, or a new one with a fuse that the cable allows. */
  private freeOutput(taps: readonly PlannedTap[]): { output: number; fuse: number | undefined } | undefined {
    const first = taps[0];
    if (this.trunk && first !== undefined) return { output: first.output, fuse: first.fuse };
    const used = new Set<number>(taps.map((tap) => tap.output));
    for (const output of usedOutputs(this.ctx.plan)) if (output.supply === this.supply) used.add(output.number);
    const limit = this.cable.rated?.value ?? Number.POSITIVE_INFINITY;
    for (const output of this.supply.outputs.values()) {
      const enough =
        output.fuse !== undefined && output.fuse.amps <= limit && (!this.trunk || output.fuse.amps >= this.trunkFuse());
      if (!used.has(output.number) && enough) return { output: output.number, fuse: undefined };
    }
    const fuse = ratedFuse(0, limit, 1);
    if (fuse === undefined || !this.hasBlock()) return undefined;
    const highest = Math.max(0, ...this.supply.outputs.keys(), ...taps.map((tap) => tap.output));
    return highest >= 64 ? undefined : { output: highest + 1, fuse: this.largestFuse(limit) };
  }

  /** What a trunk's fuse must be rated for if it carries the whole run, A. */
  private trunkFuse(): number {
    let amps = 0;
    for (const piece of this.run.pieces) if (piece.kind === 'string') amps += piece.count * fullAmps(piece.part);
    return (amps * this.ctx.plan.design.brightness.value) / this.ctx.plan.design.fuseShare.value;
  }

  private largestFuse(limit: number): number | undefined {
    return ratedFuse(0, Math.min(limit, 30), 1, 'largest');
  }

  private hasBlock(): boolean {
    return this.supply.whole.declaration.text
      .slice(this.supply.whole.start, this.supply.whole.end)
      .trimEnd()
      .endsWith('}');
  }

  /** New outputs get the smallest fuse that carries their load. */
  private sizeFuses(taps: readonly PlannedTap[], state: Preview): PlannedTap[] {
    const supply = state.plan.supplies.get(this.supply.name);
    return taps.map((tap) => {
      if (tap.fuse === undefined) return tap;
      const output = supply?.outputs.get(tap.output);
      const load = output === undefined ? 0 : (state.account.outputs.get(output) ?? 0);
      return {
        ...tap,
        fuse: ratedFuse(load, this.cable.rated?.value ?? tap.fuse, this.ctx.plan.design.fuseShare.value) ?? tap.fuse,
      };
    });
  }

  private prune(taps: readonly PlannedTap[]): PlannedTap[] {
    let kept = [...taps];
    for (const tap of taps) {
      const without = kept.filter((other) => other !== tap);
      if (without.length === 0) continue;
      const state = this.ctx.preview(this.editsFor(without));
      if (this.isSound(state, without) && !this.makesWorse(state)) kept = without;
    }
    return kept;
  }

  /** The way of a cable from the supply: the route to the run if there is one, else the lead's length, then along the run. */
  private lengthTo(pixel: number): number {
    const { plan } = this.ctx;
    const route = this.route();
    const lead = this.run.pieces.find((piece) => piece.kind === 'lead');
    const along = distanceTo(this.run, pixel);
    const way = route?.length ?? lead?.length ?? 1;
    return Math.max(0.5, Math.ceil((way + along + 2 * plan.design.slack.value) * 2) / 2);
  }

  private route() {
    const [from, to] = [this.supply.place, this.run.place];
    if (from === undefined || to === undefined) return undefined;
    return this.ctx.plan.routes.find(
      (route) => (route.from === from && route.to === to) || (route.from === to && route.to === from),
    );
  }

  /** m of cable for each tap, in the order along the run: from the supply, or on a trunk from the tap before. */
  private lengths(taps: readonly PlannedTap[]): number[] {
    const ordered = inOrder(taps);
    return ordered.map((tap, index) => {
      const before = ordered[index - 1];
      if (!this.trunk || before === undefined) return tap.length;
      return Math.max(0.5, Math.ceil((distanceTo(this.run, tap.pixel) - distanceTo(this.run, before.pixel)) * 2) / 2);
    });
  }

  private editsFor(taps: readonly PlannedTap[]): Edit[] {
    const { plan } = this.ctx;
    const route = this.route();
    const along = route === undefined ? '' : `  along ${this.supply.place?.name} to ${this.run.place?.name}`;
    const taken = new Set(plan.feeds.keys());
    const ordered = inOrder(taps);
    const lengths = this.lengths(taps).map((length) => metres(length, plan.design.units));
    const first = ordered[0];
    let text = '';
    if (this.trunk && first !== undefined) {
      const pieces = ordered.map(
        (tap, index) =>
          `\n  cable ${lengths[index]}  of ${this.cable.name}${index === 0 ? along : ''}\n  tap   ${tap.text}`,
      );
      text = `\nfeed ${freeName(this.run.name, taken)}  from ${this.supply.name}.${first.output} {${pieces.join('')}\n}`;
    } else {
      for (const [index, tap] of ordered.entries()) {
        text += `\nfeed ${freeName(this.run.name, taken)}  from ${this.supply.name}.${tap.output}  to ${tap.text}  ${lengths[index]}  of ${this.cable.name}${along}`;
      }
    }
    const edits: Edit[] = [{ origin: endOf(lastFeedOf(plan, this.run)?.whole ?? this.run.whole), text }];
    const outputs = new Map(ordered.flatMap((tap) => (tap.fuse === undefined ? [] : [[tap.output, tap.fuse]])));
    if (outputs.size > 0) {
      const lines = [...outputs].map(([output, fuse]) => `  output  ${output}  fuse ${rating(fuse)}\n`);
      edits.push({ origin: beforeBrace(this.supply.whole), text: lines.join('') });
    }
    return edits;
  }
}

export function inOrder(taps: readonly PlannedTap[]): PlannedTap[] {
  return [...taps].sort((a, b) => a.pixel - b.pixel);
}

function endOf(origin: Origin): Origin {
  return { ...origin, start: origin.end };
}

/** The start of the line that closes a block. */
function beforeBrace(origin: Origin): Origin {
  const text = origin.declaration.text.slice(0, origin.end - 1);
  const lineStart = Math.max(text.lastIndexOf('\n'), text.lastIndexOf('\r')) + 1;
  return { ...origin, start: lineStart, end: lineStart };
}
