/** Seeded random circuits of every kind that a display can be: feeds, rings, ground loops, mixed supplies and loads. */

import type { Circuit, Load, LoadChannel, LoadModel, Resistor, Source, Stretch } from '#server/electrics/circuit.ts';
import { chainPhases } from '#server/electrics/pixel-currents.ts';

export interface RandomCircuit {
  readonly circuit: Circuit;
  /** The negative terminal of the first source of each island: the solver's 0 V. */
  readonly references: readonly number[];
  readonly nominalVolts: number;
}

/** A small seeded generator of numbers in [0, 1) (mulberry32). */
export function seededRandom(seed: number): () => number {
  let state = seed >>> 0;
  return () => {
    state = (state + 0x6d2b79f5) >>> 0;
    let t = Math.imul(state ^ (state >>> 15), state | 1);
    t ^= t + Math.imul(t ^ (t >>> 7), t | 61);
    return ((t ^ (t >>> 14)) >>> 0) / 4294967296;
  };
}

export interface RandomOptions {
  /** Kinds of pixels to draw from; all but `chain` when left out. */
  readonly kinds?: readonly PixelKind[];
  readonly mostPixels?: number;
  /** Pixels of the longest stretch, 40 when left out. */
  readonly longest?: number;
  /** False: supplies never reach their current limit. */
  readonly mayLimit?: boolean;
}

export type PixelKind = 'regulated' | 'knees' | 'resistive' | 'converter' | 'mixed' | 'chain';

const allKinds: readonly PixelKind[] = ['regulated', 'knees', 'resistive', 'converter', 'mixed'];

export function randomCircuit(seed: number, options: RandomOptions = {}): RandomCircuit {
  const random = seededRandom(seed);
  const islands = random() < 0.15 ? 2 : 1;
  const builder = new Builder(random, options);
  for (let i = 0; i < islands; i++) builder.addIsland(Math.ceil((options.mostPixels ?? 90) / islands));
  return builder.finish();
}

class Builder {
  private nodeCount = 0;
  private readonly resistors: Resistor[] = [];
  private readonly sources: Source[] = [];
  private readonly loads: Load[] = [];
  private readonly stretches: Stretch[] = [];
  private readonly references: number[] = [];
  private pixelsLeft = 0;
  private readonly nominal: number;
  private readonly kind: PixelKind;
  private readonly random: () => number;
  private readonly options: RandomOptions;

  constructor(random: () => number, options: RandomOptions) {
    this.random = random;
    this.options = options;
    this.nominal = this.pick([5, 12, 24]);
    this.kind = this.pick(options.kinds ?? allKinds);
  }

  addIsland(mostPixels: number): void {
    this.pixelsLeft = mostPixels;
    const supplies = Array.from({ length: this.whole(1, 4) }, () => this.addSupply());
    this.references.push(supplies[0]!.negative);
    // Grounds are common: every supply's ground is bonded to an earlier one, and some twice over.
    for (let i = 1; i < supplies.length; i++) {
      this.join(supplies[i]!.negative, supplies[this.whole(0, i - 1)]!.negative, 0.001, 0.3);
      if (this.chance(0.3)) this.join(supplies[i]!.negative, supplies[0]!.negative, 0.01, 1);
    }
    const joints: { positive: number; negative: number }[] = [];
    const runs = this.whole(1, 3);
    for (let run = 0; run < runs && this.pixelsLeft > 0; run++) {
      const own = this.addRun();
      this.feed(this.pick(supplies), this.pick(own));
      const extra = this.whole(0, 3);
      for (let i = 0; i < extra; i++) this.feed(this.pick(supplies), this.pick(own));
      joints.push(...own);
    }
    const links = this.whole(0, 4);
    for (let i = 0; i < links; i++) {
      const from = this.pick(joints);
      const to = this.pick(joints);
      this.join(from.negative, to.negative, 0.01, 2);
      if (this.chance(0.5)) this.join(from.positive, to.positive, 0.01, 2);
    }
    const lumps = this.whole(0, 3);
    for (let i = 0; i < lumps; i++) {
      this.loads.push({ ...this.pick(joints), model: this.model(this.range(2, 10)), scale: this.range(0.2, 1) });
    }
  }

  finish(): RandomCircuit {
    const { nodeCount, resistors, sources, loads, stretches } = this;
    return {
      circuit: { nodeCount, resistors, sources, loads, stretches },
      references: this.references,
      nominalVolts: this.nominal,
    };
  }

  private addSupply() {
    const terminals = { positive: this.node(), negative: this.node() };
    const mayLimit = this.options.mayLimit !== false;
    // A supply's own bleeder: without it the output of one that delivers nothing would hang in the air.
    this.join(terminals.positive, terminals.negative, 1000, 10_000);
    this.sources.push({
      ...terminals,
      volts: this.nominal * this.range(0.95, 1.05),
      ohms: this.logRange(0.001, 0.05),
      maxAmps: mayLimit && this.chance(0.15) ? this.range(0.3, 4) : this.chance(0.5) ? Infinity : 60,
    });
    return terminals;
  }

  /** A row of stretches, some with a gap between them, some closed to a ring. */
  private addRun() {
    const joints = [{ positive: this.node(), negative: this.node() }];
    const parts = this.whole(1, 4);
    const model = this.model(1);
    for (let part = 0; part < parts && this.pixelsLeft > 0; part++) {
      const count = Math.min(this.whole(1, this.options.longest ?? 40), this.pixelsLeft);
      this.pixelsLeft -= count;
      const start = joints[joints.length - 1]!;
      const end = { positive: this.node(), negative: this.node() };
      joints.push(end);
      this.stretches.push({
        positiveStart: start.positive,
        negativeStart: start.negative,
        positiveEnd: end.positive,
        negativeEnd: end.negative,
        count,
        positiveOhms: this.logRange(0.001, 0.05),
        negativeOhms: this.logRange(0.001, 0.05),
        model,
        scale: this.chance(0.3) ? this.range(0.1, 1) : 1,
      });
      if (this.chance(0.3)) {
        const far = { positive: this.node(), negative: this.node() };
        this.join(end.positive, far.positive, 0.01, 0.5);
        this.join(end.negative, far.negative, 0.01, 0.5);
        joints.push(far);
      }
    }
    if (this.chance(0.25)) {
      const last = joints[joints.length - 1]!;
      this.join(joints[0]!.positive, last.positive, 0.01, 0.2);
      this.join(joints[0]!.negative, last.negative, 0.01, 0.2);
    }
    return joints;
  }

  /** A fuse and a cable out, a cable back. */
  private feed(supply: { positive: number; negative: number }, joint: { positive: number; negative: number }): void {
    const fused = this.node();
    this.join(supply.positive, fused, 0.002, 0.05);
    this.join(fused, joint.positive, 0.01, 0.4);
    this.join(supply.negative, joint.negative, 0.01, 0.4);
  }

  private model(size: number): LoadModel {
    const quiescent = this.chance(0.5);
    return {
      quiescentAmps: quiescent ? this.range(0.0005, 0.002) * size : 0,
      quiescentVolts: this.range(0.2, 0.5) * this.nominal,
      channels: this.channels(size),
    };
  }

  private channels(size: number): LoadChannel[] {
    const { nominal } = this;
    const amps = () => this.range(0.005, 0.03) * size;
    const knee = (top: number) => {
      const kneeVolts = top * nominal;
      return {
        kind: 'regulated' as const,
        amps: amps(),
        kneeVolts,
        zeroVolts: kneeVolts - this.range(0.05, 0.3) * nominal,
      };
    };
    const resistive = () => {
      const forwardVolts = this.range(0, 0.6) * nominal;
      return { kind: 'resistive' as const, forwardVolts, ohms: (nominal - forwardVolts) / amps() };
    };
    const converter = () => ({
      kind: 'converter' as const,
      watts: 0.5 * amps() * nominal,
      lockoutVolts: this.range(0.1, 0.3) * nominal,
    });
    switch (this.kind) {
      case 'regulated':
        return [knee(0.4), knee(0.5), knee(0.5)];
      case 'knees':
        return [knee(this.range(0.7, 0.9)), knee(this.range(0.85, 1.0)), knee(this.range(0.85, 1.0))];
      case 'resistive':
        return [resistive(), resistive(), resistive()];
      case 'converter':
        return [converter()];
      case 'chain':
        // Three dies in series behind one current, each lit for its own part of the dimming period.
        return chainPhases(
          {
            amps: amps(),
            forwardVolts: [2, 3, 3].map((volts) => (volts / 12) * nominal * this.range(0.9, 1.15)),
            kneeHeadroom: this.range(0.12, 0.25) * nominal,
            zeroHeadroom: this.range(0.01, 0.08) * nominal,
          },
          [this.range(0, 1), this.range(0, 1), this.range(0, 1)],
        ).map(({ channel }) => channel);
      case 'mixed':
        return [knee(this.range(0.6, 0.95)), resistive(), converter()];
    }
  }

  private join(a: number, b: number, least: number, most: number): void {
    this.resistors.push({ a, b, ohms: this.logRange(least, most) });
  }

  private node(): number {
    return this.nodeCount++;
  }

  private chance(share: number): boolean {
    return this.random() < share;
  }

  private range(least: number, most: number): number {
    return least + (most - least) * this.random();
  }

  private logRange(least: number, most: number): number {
    return least * (most / least) ** this.random();
  }

  private whole(least: number, most: number): number {
    return least + Math.floor(this.random() * (most - least + 1));
  }

  private pick<T>(list: readonly T[]): T {
    return list[this.whole(0, list.length - 1)] as T;
  }
}
