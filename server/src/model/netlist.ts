import { sure } from '#grammar/sure.ts';
import type { LoadModel, Source } from '../electrics/circuit.ts';
import { findIslands, type Islands } from '../electrics/solve/islands.ts';
import { singleRows } from '../electrics/solve/series.ts';
import { type Usable, usableElements } from '../electrics/solve/usable.ts';
import { expandStretch } from '../electrics/solve.ts';
import type { Account } from './account.ts';
import { describeResistor, figure, lawExpression } from './netlist-elements.ts';
import { SpiceNames } from './netlist-names.ts';
import type { Plan, Run } from './plan.ts';
import type { SolvedIsland } from './solved-island.ts';
import { metres } from './texts.ts';
import type { IslandCircuit, StretchRole } from './to-circuit.ts';
import { Zones } from './zones.ts';

/** A display as a SPICE deck, and the node names of every pixel in it. */
export interface Netlist {
  readonly lines: readonly string[];
  /** V+ and ground node of pixel n of a run, counted from 1; undefined for pixels that no supply reaches. */
  readonly pixel: (run: Run, number: number) => { readonly positive: string; readonly negative: string } | undefined;
}

/**
 * Writes the circuits of a plan for ngspice: every pixel, conductor, contact and fuse as an element of its own, with
 * the load laws and supply limits of electrics/circuit.ts. From nothing the simulator's iteration often fails where
 * pixels starve, so it starts from our volts rounded to 10 mV; it accepts only what satisfies its own equations. Parts
 * that no supply reaches are left out.
 */
export function netlistOf(plan: Plan, account: Account): Netlist {
  return new DeckWriter(plan).write(account.islands);
}

/** Tight enough to judge an answer to 1e-6; below a nanoampere the simulator's own rounding keeps it from settling. */
const OPTIONS = '.options reltol=1e-9 abstol=1e-9 vntol=1e-9 gmin=1e-16 itl1=500';

/** Across loads of which one side hangs on nothing else, so that it has a voltage at all, ohm. */
const LEAK = 1e9;

class DeckWriter {
  private readonly plan: Plan;
  private readonly names = new SpiceNames();
  private readonly lines: string[] = [];
  private readonly laws = new Map<LoadModel, Map<number, string>>();
  private readonly runBases = new Map<Run, string>();
  private readonly reached = new Map<Run, Uint8Array>();

  constructor(plan: Plan) {
    this.plan = plan;
    for (const run of plan.runs.values()) {
      this.runBases.set(run, this.names.run(run.name));
      this.reached.set(run, new Uint8Array(run.pixelCount));
    }
  }

  write(islands: readonly SolvedIsland[]): Netlist {
    this.header();
    for (const island of islands) this.island(island);
    this.lines.push('', OPTIONS, '.op', '.end');
    return {
      lines: this.lines,
      pixel: (run, number) => (this.reached.get(run)?.[number - 1] === 1 ? this.pixelNodes(run, number) : undefined),
    };
  }

  private header(): void {
    const { design } = this.plan;
    const look = design.look.value === 'full-white' ? 'full white' : design.look.value;
    this.lines.push(
      `* ${comment(design.title ?? 'A display')}, every pixel of it, for the circuit simulator ngspice`,
      `* Designed for ${look} at ${Math.round(design.brightness.value * 100)} %, copper at ${design.air.value.to} degC.`,
      '* Nodes: n_RUN_17_p is V+ at pixel 17 of a run, n_RUN_17_g its ground; other nodes are named for what stands there.',
      '* Elements: R conductors, contacts and fuses (ohm); B pixels, boards and supplies, as currents that depend on voltage.',
      '* Operating point on a terminal: ngspice -b THIS_FILE',
    );
    for (const [run, base] of this.runBases) if (base !== run.name) this.say(`run ${run.name} is written ${base}`);
  }

  private island(solved: SolvedIsland): void {
    const part = solved.circuit;
    const { circuit } = part;
    const usable = usableElements(circuit);
    if (usable === undefined || circuit.sources.length === 0) return this.leftOut(part);
    const islands = findIslands(singleRows(circuit), usable);
    const writer = new IslandWriter(solved, islands, usable, this);
    this.lines.push('');
    writer.write();
  }

  private leftOut(part: IslandCircuit): void {
    const names = [...part.runStarts.keys()].map((run) => run.name);
    if (names.length > 0) this.say(`left out, since no supply reaches it: ${names.join(', ')}`);
  }

  /** The name of a law `u -> A`, written once where it is first needed. */
  law(model: LoadModel, scale: number, wanted: string): string {
    const scales = this.laws.get(model) ?? new Map<number, string>();
    this.laws.set(model, scales);
    let name = scales.get(scale);
    if (name === undefined) {
      name = this.names.claim('i', wanted);
      scales.set(scale, name);
      this.lines.push(`.func ${name}(u) {${lawExpression(model, scale)}}`);
    }
    return name;
  }

  element(kind: string, wanted: string, rest: string): void {
    this.lines.push(`${this.names.claim(kind, wanted)} ${rest}`);
  }

  /** An element whose name is known to be its own. */
  raw(line: string): void {
    this.lines.push(line);
  }

  node(wanted: string): string {
    return this.names.claim('n', wanted);
  }

  runBase(run: Run): string {
    return sure(this.runBases.get(run));
  }

  pixelNodes(run: Run, number: number): { positive: string; negative: string } {
    const base = this.runBase(run);
    return { positive: `n_${base}_${number}_p`, negative: `n_${base}_${number}_g` };
  }

  reach(run: Run, number: number): void {
    sure(this.reached.get(run))[number - 1] = 1;
  }

  say(text: string): void {
    this.lines.push(`* ${comment(text)}`);
  }

  get units() {
    return this.plan.design.units;
  }
}

/** Writes one circuit. */
class IslandWriter {
  private readonly part: IslandCircuit;
  private readonly outcome: SolvedIsland['outcome'];
  private readonly islands: Islands;
  private readonly usable: Usable;
  private readonly deck: DeckWriter;
  private readonly nodeNames: string[];
  /** Zones of metal in which a supply has a terminal. */
  private readonly fed = new Set<number>();
  private readonly zones: Zones;

  constructor({ circuit, outcome }: SolvedIsland, islands: Islands, usable: Usable, deck: DeckWriter) {
    this.part = circuit;
    this.outcome = outcome;
    this.islands = islands;
    this.usable = usable;
    this.deck = deck;
    this.zones = new Zones(circuit);
    for (const [id, { positive, negative }] of circuit.circuit.sources.entries()) {
      if (usable.source[id] === 1) this.fed.add(this.zones.of(positive)).add(this.zones.of(negative));
    }
    this.nodeNames = this.nameNodes();
  }

  write(): void {
    const { circuit } = this.part;
    for (const [id, source] of circuit.sources.entries()) if (this.usable.source[id] === 1) this.source(id, source);
    for (const [id, load] of circuit.loads.entries()) {
      if (this.usable.load[id] !== 1 || this.isDead(load.positive)) continue;
      const board = sure(this.part.loads[id]).name;
      const law = this.deck.law(load.model, load.scale, `${board} board`);
      const [p, g] = [this.name(load.positive), this.name(load.negative)];
      this.deck.say(`what the board ${board} itself draws`);
      this.deck.element('B', `${board} board`, `${p} ${g} i=${law}(v(${p},${g}))`);
      this.leak(load.positive, load.negative, `${board} board`);
    }
    for (const [id, resistor] of circuit.resistors.entries()) {
      const role = sure(this.part.resistors[id]);
      // A resistor with both ends on one node carries nothing; some simulators never come back from it.
      if (this.usable.resistor[id] !== 1 || resistor.a === resistor.b || this.isDead(resistor.a)) continue;
      const { name, text } = describeResistor(role, this.deck.units);
      this.deck.say(text);
      this.deck.element('R', name, `${this.name(resistor.a)} ${this.name(resistor.b)} ${figure(resistor.ohms)}`);
    }
    for (const [id, role] of this.part.stretches.entries()) this.stretch(id, role);
    const volts = this.outcome.status === 'solved' ? this.outcome.nodeVolts : this.islands.guess;
    for (const [node, name] of this.nodeNames.entries()) this.startAt(name, volts[node]);
  }

  /** Pixels name their nodes; all others are named for what stands there. */
  private nameNodes(): string[] {
    const names: string[] = [];
    for (const [id, { run, first }] of this.part.stretches.entries()) {
      const stretch = sure(this.part.circuit.stretches[id]);
      const { positive, negative } = this.deck.pixelNodes(run, first + stretch.count - 1);
      names[stretch.positiveEnd] = positive;
      names[stretch.negativeEnd] = negative;
    }
    for (const [node, text] of this.part.nodes.entries()) {
      const short = text
        .replace(/ V\+$/, ' p')
        .replace(/ ground$/, ' g')
        .replace(/\.(\d+) /, ' output $1 ');
      names[node] ??= this.deck.node(short);
    }
    return names;
  }

  /** Volts behind a resistance, through an ideal diode, held at its limit: all of it in one current. */
  private source(id: number, { positive, negative, volts, ohms, maxAmps }: Source): void {
    const supply = sure(this.part.sources[id]).name;
    const [p, g] = [this.name(positive), this.name(negative)];
    const most = figure(maxAmps);
    const amps = `(${figure(volts)}-v(${p},${g}))/${figure(ohms)}`;
    const held = `${amps} > ${most} ? ${most} : ${amps}`;
    this.deck.say(
      `supply ${supply}: ${figure(volts)} V behind ${figure(ohms)} ohm; takes nothing back, gives ${most} A at most`,
    );
    this.deck.element('B', supply, `${g} ${p} i=${amps} < 0 ? 0 : (${held})`);
    if (this.islands.isReference[negative] !== 1) return;
    this.deck.say('its ground is the zero of this circuit');
    this.deck.element('V', `zero ${supply}`, `${g} 0 0`);
  }

  private stretch(id: number, { run, piece, first }: StretchRole): void {
    const stretch = sure(this.part.circuit.stretches[id]);
    if (this.usable.stretch[id] !== 1 || this.isDead(stretch.positiveStart)) return;
    const { deck } = this;
    const last = first + stretch.count - 1;
    const law = deck.law(stretch.model, stretch.scale, piece.part.name);
    const base = deck.runBase(run);
    deck.say(
      `run ${run.name}, pixels ${first} to ${last}: ${piece.element ?? piece.line.keyword} of ${piece.part.name}, every ${metres(piece.pitch, deck.units)}`,
    );
    let at = { positive: this.name(stretch.positiveStart), negative: this.name(stretch.negativeStart) };
    this.leak(stretch.positiveStart, stretch.negativeStart, `${run.name} ${first}`);
    const pixels = this.outcome.status === 'solved' ? expandStretch(this.part.circuit, this.outcome, id) : undefined;
    for (let number = first; number <= last; number++) {
      const next = deck.pixelNodes(run, number);
      deck.raw(`R_${base}_${number}_p ${at.positive} ${next.positive} ${figure(stretch.positiveOhms)}`);
      deck.raw(`R_${base}_${number}_g ${at.negative} ${next.negative} ${figure(stretch.negativeOhms)}`);
      deck.raw(`B_${base}_${number} ${next.positive} ${next.negative} i=${law}(v(${next.positive},${next.negative}))`);
      deck.reach(run, number);
      if (number < last) {
        const ground = pixels?.negativeVolts[number - first] ?? this.islands.guess[stretch.negativeStart] ?? 0;
        const across = pixels?.volts[number - first];
        this.startAt(next.positive, across === undefined ? this.islands.guess[stretch.positiveStart] : ground + across);
        this.startAt(next.negative, ground);
      }
      at = next;
    }
  }

  /** Where the simulator's iteration starts: our volts, or without an answer those that there would be without load. */
  private startAt(node: string, volts: number | undefined): void {
    if (volts !== undefined && Number.isFinite(volts)) this.deck.raw(`.nodeset v(${node})=${Number(volts.toFixed(2))}`);
  }

  /** A rail behind a cut, or a board without power, may hang on dark loads alone. */
  private leak(positive: number, negative: number, what: string): void {
    if (this.fed.has(this.zones.of(positive)) && this.fed.has(this.zones.of(negative))) return;
    this.deck.say('no supply reaches one side of it; this gives that side a voltage');
    this.deck.element('R', `leak ${what}`, `${this.name(positive)} ${this.name(negative)} ${LEAK}`);
  }

  private name(node: number): string {
    return sure(this.nodeNames[node]);
  }

  private isDead(node: number): boolean {
    return this.islands.dead[node] === 1;
  }
}

/** A comment is one line, and a title from a plan is only text. */
function comment(text: string): string {
  return text.replace(/[\p{Cc}\p{Zl}\p{Zp}]+/gu, ' ');
}
