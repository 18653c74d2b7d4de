import { sure } from '#grammar/sure.ts';
import type { Circuit, Load, Resistor, Source, Stretch } from '../electrics/circuit.ts';
import { conductorOhms } from './conductors.ts';
import { type Conditions, nominal } from './corners.ts';
import { isFixture } from './fixtures.ts';
import { fuseOhms } from './fuses.ts';
import type { Island } from './islands.ts';
import { outputText } from './outputs.ts';
import { brightnessOf, loadModel, regulated } from './pixel-loads.ts';
import type {
  Board,
  Bond,
  Conductor,
  ConnectorPart,
  Controller,
  Design,
  Feed,
  GapPiece,
  LeadPiece,
  Output,
  Piece,
  Run,
  StringPiece,
  Supply,
  Tap,
} from './plan.ts';

/** The circuit of one island, with lists beside it that say which part of the plan each element is. */
export interface IslandCircuit {
  readonly circuit: Circuit;
  readonly resistors: readonly ResistorRole[];
  readonly sources: readonly Supply[];
  readonly loads: readonly Controller[];
  readonly stretches: readonly StretchRole[];
  /** What a person would call each node: "eaves[116] V+". */
  readonly nodes: readonly string[];
  readonly ports: ReadonlyMap<Run, Rails>;
  readonly runStarts: ReadonlyMap<Run, Rails>;
  readonly controllers: ReadonlyMap<Controller, Rails>;
  readonly supplies: ReadonlyMap<Supply, Rails>;
  readonly boards: ReadonlyMap<Board, Rails>;
  /** Joints of strings where something is tapped or measured, by pixel; 0 is the joint before the first. */
  readonly joints: ReadonlyMap<StringPiece, ReadonlyMap<number, Rails>>;
}

export interface Rails {
  readonly positive: number;
  readonly negative: number;
}

export type Rail = 'V+' | 'ground';

export type ResistorRole =
  | { readonly kind: 'fuse'; readonly output: Output }
  | { readonly kind: 'board'; readonly board: Board; readonly rail: Rail }
  | { readonly kind: 'port-fuse'; readonly run: Run }
  | { readonly kind: 'lead'; readonly run: Run; readonly piece: LeadPiece; readonly rail: Rail }
  | { readonly kind: 'gap'; readonly run: Run; readonly piece: GapPiece; readonly rail: Rail }
  | {
      readonly kind: 'contact';
      readonly run: Run;
      readonly piece: StringPiece;
      readonly connector: ConnectorPart;
      readonly rail: Rail;
    }
  /** Where the data ribbon or lead plugs into a panel: ground alone. */
  | { readonly kind: 'data-plug'; readonly run: Run; readonly piece: StringPiece }
  | { readonly kind: 'feed'; readonly feed: Feed; readonly piece: number; readonly rail: Rail }
  | {
      readonly kind: 'tap-contact';
      readonly feed: Feed;
      readonly piece: number;
      readonly connector: ConnectorPart | undefined;
      readonly rail: Rail;
    }
  | { readonly kind: 'link'; readonly controller: Controller }
  | { readonly kind: 'bond'; readonly bond: Bond };

export interface StretchRole {
  readonly run: Run;
  readonly piece: StringPiece;
  /** Pixel number in the run of the stretch's first pixel. */
  readonly first: number;
}

/** Share of its rating at which an enclosed supply starts to fold back (makers' sheets: 105 to 135 %). */
const FOLD_BACK = 1.1;

/** Nothing that conducts has less than a micro-ohm: the solver takes less for a slip and leaves the element out. */
const LEAST_OHMS = 1e-6;

/** A good soldered or crimped splice, ohm (common practice: about one milliohm). */
export const SPLICE_OHMS = 0.001;

export function circuitOf(island: Island, design: Design, conditions = nominal(design)): IslandCircuit {
  return new CircuitMaker(design, conditions).make(island);
}

class CircuitMaker {
  private readonly design: Design;
  private readonly conditions: Conditions;
  private readonly resistors: Resistor[] = [];
  private readonly resistorRoles: ResistorRole[] = [];
  private readonly sources: Source[] = [];
  private readonly loads: Load[] = [];
  private readonly loadRoles: Controller[] = [];
  private readonly stretches: Stretch[] = [];
  private readonly stretchRoles: StretchRole[] = [];
  private readonly nodes: string[] = [];
  private readonly supplies = new Map<Supply, Rails>();
  private readonly boards = new Map<Board, Rails>();
  private readonly outputs = new Map<Output, Rails>();
  private readonly controllers = new Map<Controller, Rails>();
  private readonly ports = new Map<Run, Rails>();
  private readonly runStarts = new Map<Run, Rails>();
  private readonly joints = new Map<StringPiece, Map<number, Rails>>();

  constructor(design: Design, conditions: Conditions) {
    this.design = design;
    this.conditions = conditions;
  }

  make(island: Island): IslandCircuit {
    const sources: Supply[] = [];
    for (const supply of island.supplies) if (this.addSupply(supply)) sources.push(supply);
    for (const board of island.boards) this.addBoard(board);
    for (const controller of island.controllers) this.addController(controller);
    this.noteTaps(island.feeds);
    for (const { tap } of island.measurements) this.jointsOf(tap.piece).set(tap.pixel, NOWHERE);
    for (const run of island.runs) this.addRun(run);
    for (const feed of island.feeds) this.addFeed(feed);
    for (const controller of island.controllers) this.addLink(controller);
    for (const bond of island.bonds) this.addBond(bond);
    return {
      circuit: {
        nodeCount: this.nodes.length,
        resistors: this.resistors,
        sources: this.sources,
        loads: this.loads,
        stretches: this.stretches,
      },
      resistors: this.resistorRoles,
      sources,
      loads: this.loadRoles,
      stretches: this.stretchRoles,
      nodes: this.nodes,
      ports: this.ports,
      runStarts: this.runStarts,
      controllers: this.controllers,
      supplies: this.supplies,
      boards: this.boards,
      joints: this.joints,
    };
  }

  private node(name: string): number {
    return this.nodes.push(name) - 1;
  }

  private rails(name: string): Rails {
    return { positive: this.node(`${name} V+`), negative: this.node(`${name} ground`) };
  }

  private resistor(a: number, b: number, ohms: number, role: ResistorRole): void {
    this.resistors.push({ a, b, ohms: Math.max(ohms, LEAST_OHMS) });
    this.resistorRoles.push(role);
  }

  /** A conductor or contact of no resistance joins its ends: the same node goes on. */
  private link(a: number, name: string, ohms: number, role: ResistorRole): number {
    if (ohms <= 0) return a;
    const b = this.node(name);
    this.resistor(a, b, ohms, role);
    return b;
  }

  private addSupply(supply: Supply): boolean {
    const rails = this.rails(supply.name);
    this.supplies.set(supply, rails);
    this.addOutputs(supply, rails);
    if (supply.volts === undefined || supply.part === undefined) return false;
    this.sources.push({
      positive: rails.positive,
      negative: rails.negative,
      volts: supply.volts.value * this.conditions.supplies,
      ohms: Math.max(supply.part.droop, LEAST_OHMS),
      maxAmps: supply.part.rated === undefined ? 1e6 : supply.part.rated * FOLD_BACK,
    });
    return true;
  }

  private addOutputs(owner: Supply | Board, rails: Rails): void {
    for (const output of owner.outputs.values()) {
      const name = `${outputText(output)} V+`;
      const positive =
        output.fuse === undefined
          ? rails.positive
          : this.link(rails.positive, name, output.fuse.ohms, { kind: 'fuse', output });
      this.outputs.set(output, { positive, negative: rails.negative });
    }
  }

  /** A board comes after what it hangs on, whatever the order in the plan. */
  private addBoard(board: Board): void {
    if (this.boards.has(board)) return;
    if (board.from.board !== undefined) this.addBoard(board.from.board);
    const at = sure(this.outputs.get(board.from));
    const { cable, length, parallel } = board;
    const role = (rail: Rail): ResistorRole => ({ kind: 'board', board, rail });
    const rails = this.addCable(board.name, cable.cores, cable.conductor, length, at, role, parallel);
    this.boards.set(board, rails);
    this.addOutputs(board, rails);
  }

  private outputRails(output: Output | undefined): Rails | undefined {
    return output === undefined ? undefined : this.outputs.get(output);
  }

  private addController(controller: Controller): void {
    const rails = this.outputRails(controller.from) ?? this.rails(controller.name);
    this.controllers.set(controller, rails);
    const amps = controller.part?.draws ?? 0;
    if (amps > 0) {
      // The board's own regulator holds its current down to a few volts.
      this.loads.push({
        positive: rails.positive,
        negative: rails.negative,
        model: { quiescentAmps: 0, quiescentVolts: 1, channels: [regulated(amps, 4, 3)] },
        scale: 1,
      });
      this.loadRoles.push(controller);
    }
  }

  private noteTaps(feeds: readonly Feed[]): void {
    for (const feed of feeds) {
      for (const piece of feed.pieces)
        if (piece.kind === 'tap') this.jointsOf(piece.tap.piece).set(piece.tap.pixel, NOWHERE);
    }
  }

  private jointsOf(piece: StringPiece): Map<number, Rails> {
    let joints = this.joints.get(piece);
    if (joints === undefined) {
      joints = new Map();
      this.joints.set(piece, joints);
    }
    return joints;
  }

  private addRun(run: Run): void {
    let at = this.portRails(run);
    this.ports.set(run, at);
    const { pieces } = run;
    for (const [index, piece] of pieces.entries()) {
      switch (piece.kind) {
        case 'lead':
          at = this.addLead(run, piece, at);
          break;
        case 'gap':
          at = this.addGap(run, piece, at);
          break;
        case 'cut':
          at = { positive: this.node(`${run.name} after the cut V+`), negative: at.negative };
          break;
        case 'string': {
          if (isFixture(piece.part)) {
            at = this.addFixture(run, piece, at, pieces[index - 1]?.kind === 'gap');
            break;
          }
          const before = neighbour(pieces, index, -1);
          const after = neighbour(pieces, index, 1);
          const cutBefore = pieces[index - 1]?.kind === 'cut' && before?.kind === 'string';
          if (before !== undefined && !(before.kind === 'gap' && before.bare))
            at = this.addContact(run, piece, at, cutBefore ? 'joint' : 'start');
          if (!this.runStarts.has(run)) this.runStarts.set(run, at);
          at = this.addString(run, piece, at);
          if (after?.kind === 'gap' && !after.bare) at = this.addContact(run, piece, at, 'end');
        }
      }
    }
  }

  private portRails(run: Run): Rails {
    const board = run.controller === undefined ? undefined : this.controllers.get(run.controller);
    if (board === undefined) return this.rails(`${run.name} port`);
    const fuse = run.controller?.part?.portFuse;
    if (fuse === undefined) return { positive: this.node(`${run.name} port V+`), negative: board.negative };
    return {
      positive: this.link(board.positive, `${run.name} port V+`, fuseOhms(fuse), { kind: 'port-fuse', run }),
      negative: board.negative,
    };
  }

  private addLead(run: Run, piece: LeadPiece, at: Rails): Rails {
    const role = (rail: Rail): ResistorRole => ({ kind: 'lead', run, piece, rail });
    return this.addCable(`${run.name} lead`, piece.cable.cores, sure(piece.cable.conductor), piece.length, at, role);
  }

  private addGap(run: Run, piece: GapPiece, at: Rails): Rails {
    const role = (rail: Rail): ResistorRole => ({ kind: 'gap', run, piece, rail });
    return this.addCable(`${run.name} gap`, piece.cable?.cores ?? ALL_CORES, piece.wire, piece.length, at, role);
  }

  private addCable(
    name: string,
    cores: ReadonlySet<string>,
    conductor: Conductor,
    length: number,
    at: Rails,
    role: (rail: Rail) => ResistorRole,
    parallel = 1,
  ): Rails {
    const ohms = conductorOhms(conductor, length, this.celsius(), parallel);
    const positive = cores.has('V+')
      ? this.link(at.positive, `${name} end V+`, ohms, role('V+'))
      : this.node(`${name} end V+`);
    const negative = cores.has('ground')
      ? this.link(at.negative, `${name} end ground`, ohms, role('ground'))
      : this.node(`${name} end ground`);
    return { positive, negative };
  }

  private addContact(run: Run, piece: StringPiece, at: Rails, where: 'start' | 'end' | 'joint'): Rails {
    const connector = piece.part.ends;
    if (connector === undefined) return at;
    const name =
      where === 'end'
        ? `${run.name}[${piece.first + piece.count - 1}] connector`
        : `${run.name}[${piece.first}] connector`;
    const role = (rail: Rail): ResistorRole => ({ kind: 'contact', run, piece, connector, rail });
    return {
      positive: this.link(at.positive, `${name} V+`, connector.ohms, role('V+')),
      negative: this.link(at.negative, `${name} ground`, connector.ohms, role('ground')),
    };
  }

  private addString(run: Run, piece: StringPiece, start: Rails): Rails {
    const joints = this.jointsOf(piece);
    if (joints.has(0)) joints.set(0, start);
    const taps = [...joints.keys()].filter((pixel) => pixel > 0 && pixel < piece.count).sort((a, b) => a - b);
    const wireOhms = conductorOhms(piece.part.wire, piece.pitch, this.celsius());
    const pitchOhms = Math.max(wireOhms + piece.part.jointOhms, LEAST_OHMS);
    let at = start;
    let done = 0;
    for (const pixel of [...taps, piece.count]) {
      const end = this.rails(`${run.name}[${piece.first + pixel - 1}]`);
      this.addStretch(run, piece, piece.first + done, pixel - done, at, end, pitchOhms);
      if (joints.has(pixel)) joints.set(pixel, end);
      at = end;
      done = pixel;
    }
    return at;
  }

  /**
   * A panel or flood behind its own cord: V+ comes through its plug alone. A panel meets the ground of the data line
   * at its board; a flood meets nothing.
   */
  private addFixture(run: Run, piece: StringPiece, at: Rails, isPlugged: boolean): Rails {
    const name = `${run.name}[${piece.first}]`;
    const plug = this.rails(`${name} plug`);
    const joints = this.jointsOf(piece);
    if (joints.has(0)) joints.set(0, plug);
    const start = this.addContact(run, piece, plug, 'start');
    const positive = this.node(`${name} V+`);
    const negative =
      piece.part.kind === 'flood'
        ? this.node(`${name} ground`)
        : isPlugged
          ? at.negative
          : this.link(at.negative, `${name} ground`, SPLICE_OHMS, { kind: 'data-plug', run, piece });
    if (piece.part.kind === 'panel' && !this.runStarts.has(run)) this.runStarts.set(run, { positive, negative });
    const end = { positive, negative };
    const ohms = Math.max(conductorOhms(piece.part.wire, piece.pitch, this.celsius()), LEAST_OHMS);
    this.addStretch(run, piece, piece.first, 1, start, end, ohms);
    if (joints.has(1)) joints.set(1, end);
    return end;
  }

  private addStretch(
    run: Run,
    piece: StringPiece,
    first: number,
    count: number,
    from: Rails,
    to: Rails,
    ohms: number,
  ): void {
    this.stretches.push({
      positiveStart: from.positive,
      negativeStart: from.negative,
      positiveEnd: to.positive,
      negativeEnd: to.negative,
      count,
      positiveOhms: ohms,
      negativeOhms: ohms,
      model: loadModel(piece.part, this.design.look.value),
      scale: brightnessOf(piece, this.design) * this.conditions.pixels,
    });
    this.stretchRoles.push({ run, piece, first });
  }

  private addFeed(feed: Feed): void {
    let at: Rails = this.outputRails(feed.from) ?? this.rails(`${feed.name} start`);
    for (const [index, piece] of feed.pieces.entries()) {
      if (piece.kind === 'tap') {
        this.joinTap(feed, index, piece.tap, piece.connector, at);
        continue;
      }
      const role = (rail: Rail): ResistorRole => ({ kind: 'feed', feed, piece: index, rail });
      at = this.addCable(
        `${feed.name} ${index + 1}`,
        piece.cable.cores,
        piece.cable.conductor,
        piece.length,
        at,
        role,
        piece.parallel,
      );
    }
  }

  /** A tap without a connector is a splice. */
  private joinTap(feed: Feed, index: number, tap: Tap, connector: ConnectorPart | undefined, at: Rails): void {
    const joint = sure(this.joints.get(tap.piece)?.get(tap.pixel));
    const ohms = connector?.ohms ?? SPLICE_OHMS;
    const role = (rail: Rail): ResistorRole => ({ kind: 'tap-contact', feed, piece: index, connector, rail });
    this.resistor(at.positive, joint.positive, ohms, role('V+'));
    this.resistor(at.negative, joint.negative, ohms, role('ground'));
  }

  /** A link joins grounds only where its cable has a core for that. */
  private addLink(controller: Controller): void {
    const { link } = controller;
    if (link?.cable.conductor === undefined || !link.cable.cores.has('ground')) return;
    const [from, to] = [this.controllers.get(link.from)?.negative, this.controllers.get(controller)?.negative];
    if (from === undefined || to === undefined || from === to) return;
    const ohms = conductorOhms(link.cable.conductor, link.length, this.celsius());
    this.resistor(from, to, ohms, { kind: 'link', controller });
  }

  private addBond(bond: Bond): void {
    const ground = (side: Supply | Controller) =>
      side.kind === 'supply' ? this.supplies.get(side)?.negative : this.controllers.get(side)?.negative;
    const [from, to] = [ground(bond.from), ground(bond.to)];
    if (from === undefined || to === undefined || from === to) return;
    this.resistor(from, to, conductorOhms(bond.cable.conductor, bond.length, this.celsius()), {
      kind: 'bond',
      bond,
    });
  }

  private celsius(): number {
    return this.conditions.celsius;
  }
}

/** The nearest piece on one side that is not a cut. */
function neighbour(pieces: readonly Piece[], index: number, step: 1 | -1): Piece | undefined {
  let at = index + step;
  while (pieces[at]?.kind === 'cut') at += step;
  return pieces[at];
}

const NOWHERE: Rails = { positive: -1, negative: -1 };
const ALL_CORES: ReadonlySet<string> = new Set(['V+', 'ground', 'data']);
