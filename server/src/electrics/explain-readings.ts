/**
 * Which single conductor or contact explains meter readings best, by how much resistance, and how sure that is.
 *
 * Readings differ from the computed voltages by errors of the meter, taken as normal with a standard deviation given by
 * the caller. For each resistor the extra resistance is sought that makes the sum of squares
 * S = sum(((reading - computed) / sigma)^2) least; exp(-S / 2) is then its likelihood. Beforehand "nothing is wrong" is
 * taken to be as likely as all resistors together, these alike among themselves; a fitted resistance pays for its freedom
 * with a factor n^(-1/2), n readings (the criterion of Schwarz, Annals of Statistics 6, 1978, 461-464, from memory). What
 * these weights times the likelihoods come to, divided by their sum, are the odds after the readings.
 */
import type { Circuit } from './circuit.ts';
import { type Prepared, prepare } from './prepare.ts';

/** A network and what the meter said on it, node to node, V. Several looks are several cases with the same resistors. */
export interface ReadingCase {
  readonly circuit: Circuit;
  readonly readings: readonly Reading[];
}

export interface Reading {
  readonly positive: number;
  readonly negative: number;
  readonly volts: number;
  /** Standard deviation of the meter, V; above zero. */
  readonly sigma: number;
}

export interface Explanation {
  /** S with every resistor as planned. */
  readonly misfit: number;
  /** Odds that nothing is wrong, 0 to 1. */
  readonly nothingWrong: number;
  /** Best first; only those whose odds are at least a hundredth of the best. */
  readonly suspects: readonly Suspect[];
}

export interface Suspect {
  /** Id of the resistor. */
  readonly resistor: number;
  /** Extra resistance that fits best, ohm; 100 stands for an open contact. */
  readonly extraOhms: number;
  /** S with it. */
  readonly misfit: number;
  /** Odds, 0 to 1. */
  readonly odds: number;
}

/** How many resistors are fitted exactly, after a first look at all of them by their slope. */
const MOST_FITTED = 12;
/** The first look adds this much, ohm: a poor contact. */
const PROBE_OHMS = 0.02;
const MOST_STEPS = 12;
/** What is worse than this is open, ohm. */
const OPEN_OHMS = 100;

/** Undefined where a network has no solution or there is no reading. The same circuit content gives the same answer. */
export function explainReadings(cases: readonly ReadingCase[]): Explanation | undefined {
  const bench = new Bench(cases);
  const planned = bench.computed(undefined, 0);
  if (planned === undefined || planned.length === 0) return undefined;
  const misfit = bench.misfit(planned);
  const count = cases[0].circuit.resistors.length;
  const promising: { resistor: number; gain: number; ohms: number }[] = [];
  for (let resistor = 0; resistor < count; resistor++) {
    const line = bench.slope(resistor, planned);
    if (line !== undefined && line.ohms > 0) promising.push({ resistor, ...line });
  }
  promising.sort((a, b) => b.gain - a.gain || a.resistor - b.resistor);
  const fitted = promising.slice(0, MOST_FITTED).map(({ resistor, ohms }) => bench.fit(resistor, ohms, planned));
  const best = Math.min(misfit, ...fitted.map((suspect) => suspect.misfit));
  const likely = (s: number) => Math.exp(-(s - best) / 2);
  const weight = 1 / (count * Math.sqrt(planned.length));
  const sum = likely(misfit) + fitted.reduce((total, suspect) => total + weight * likely(suspect.misfit), 0);
  const suspects = fitted
    .map((suspect) => ({ ...suspect, odds: (weight * likely(suspect.misfit)) / sum }))
    .sort((a, b) => b.odds - a.odds || a.resistor - b.resistor);
  const most = suspects[0]?.odds ?? 0;
  return {
    misfit,
    nothingWrong: likely(misfit) / sum,
    suspects: suspects.filter((suspect) => suspect.odds >= most / 100),
  };
}

/** The networks on the bench, each prepared once, and the meter held where the readings were taken. */
class Bench {
  private readonly cases: readonly { readonly given: ReadingCase; readonly network: Prepared }[];

  constructor(cases: readonly ReadingCase[]) {
    this.cases = cases.map((given) => ({ given, network: prepare(given.circuit) }));
  }

  /** V at each reading, in order, with one resistor made larger; undefined where a network has no solution. */
  computed(resistor: number | undefined, extraOhms: number): number[] | undefined {
    const volts: number[] = [];
    for (const { given, network } of this.cases) {
      const outcome =
        resistor === undefined ? network.solve() : network.solveWith(withExtra(given.circuit, resistor, extraOhms));
      if (outcome.status !== 'solved') return undefined;
      for (const { positive, negative } of given.readings) {
        const across = outcome.nodeVolts[positive] - outcome.nodeVolts[negative];
        volts.push(Number.isFinite(across) ? across : 0);
      }
    }
    return volts;
  }

  misfit(volts: readonly number[]): number {
    return this.readings().reduce(
      (sum, { volts: said, sigma }, index) => sum + ((said - volts[index]) / sigma) ** 2,
      0,
    );
  }

  /** By the slope at the plan: the extra resistance that would fit best, ohm, and by how much S would fall. */
  slope(resistor: number, planned: readonly number[]): { gain: number; ohms: number } | undefined {
    const probed = this.computed(resistor, PROBE_OHMS);
    if (probed === undefined) return undefined;
    return this.step(planned, probed, PROBE_OHMS);
  }

  /** The extra resistance of one resistor that makes S least, by Gauss-Newton steps that are halved until they help. */
  fit(resistor: number, start: number, planned: readonly number[]): Omit<Suspect, 'odds'> {
    let ohms = 0;
    let volts: readonly number[] = planned;
    let misfit = this.misfit(planned);
    let step = start;
    for (let round = 0; round < MOST_STEPS && Math.abs(step) > 1e-6 * Math.max(ohms, 1e-3); round++) {
      let tried: readonly number[] | undefined;
      for (let halved = 0; halved < 20; halved++, step /= 2) {
        tried = this.computed(resistor, within(ohms + step));
        if (tried !== undefined && this.misfit(tried) < misfit) break;
        tried = undefined;
      }
      if (tried === undefined) break;
      const before = { ohms, volts };
      ohms = within(ohms + step);
      volts = tried;
      misfit = this.misfit(tried);
      step = this.step(volts, before.volts, before.ohms - ohms)?.ohms ?? 0;
    }
    return { resistor, extraOhms: ohms, misfit };
  }

  /** The least-squares step from `at` along the line to `moved`, which was reached by `ohms`. */
  private step(
    at: readonly number[],
    moved: readonly number[],
    ohms: number,
  ): { gain: number; ohms: number } | undefined {
    let across = 0;
    let square = 0;
    for (const [index, { volts, sigma }] of this.readings().entries()) {
      const slope = (moved[index] - at[index]) / ohms / sigma;
      across += slope * ((volts - at[index]) / sigma);
      square += slope * slope;
    }
    return square > 0 ? { gain: (across * across) / square, ohms: across / square } : undefined;
  }

  private readings(): readonly Reading[] {
    return this.cases.flatMap(({ given }) => given.readings);
  }
}

function within(ohms: number): number {
  return Math.min(OPEN_OHMS, Math.max(0, ohms));
}

function withExtra(circuit: Circuit, id: number, extraOhms: number): Circuit {
  const resistors = circuit.resistors.map((resistor, index) =>
    index === id ? { ...resistor, ohms: resistor.ohms + extraOhms } : resistor,
  );
  return { ...circuit, resistors };
}
