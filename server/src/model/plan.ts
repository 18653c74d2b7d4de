import type { Given, Range } from './bound.ts';
import type { AddressPin, ControllerUniverses, DataDesign, PixelData, PixelLogic } from './data-side.ts';
import type { Origin } from './finding.ts';
import type { Derating, Season, Trip } from './mains.ts';
import type { PanelFacts } from './panel-facts.ts';
import type { Priced } from './prices.ts';
import type { Setting } from './setting.ts';
import type { Spares } from './spares.ts';
import type { StatedWay } from './stated-way.ts';
import type { LengthUnits } from './texts.ts';

/**
 * The display as a set of things that know each other: names are resolved, quantities are in SI units, defaults are
 * filled in. What could not be resolved is absent (undefined) and has been reported; the rest of the plan stands.
 */

export interface Named {
  readonly name: string;
  readonly label: string | undefined;
  readonly description: string | undefined;
  /** The name in its declaration. */
  readonly origin: Origin;
  readonly whole: Origin;
}

export interface Conductor {
  /** Cross-section of one conductor, mm2. */
  readonly area: number;
  /** Resistance of one conductor at 20 degC, ohm/m, and where it comes from. */
  readonly ohmsPerMetre: number;
  readonly source: string;
  /** As written: "18 AWG". */
  readonly text: string;
  readonly measured: 'gauge' | 'area';
}

/** `chain`: one current through all colours in series, the same for white as for a single colour. */
export type Colour = 'red' | 'green' | 'blue' | 'white' | 'chain';

export type ChannelPart = { readonly colour: Colour; readonly amps: number } & (
  | { readonly kind: 'regulated'; readonly knee: number; readonly dark: number }
  | { readonly kind: 'resistive'; readonly ohms: number; readonly forward: number }
);

/** Panels and floods are loads of the same make: what they draw, behind a cord of their own. */
export interface PixelPart extends Named, Priced {
  readonly kind: 'pixel' | 'panel' | 'flood';
  readonly volts: number | undefined;
  readonly accepts: Setting<Range> | undefined;
  /** Least voltage for true white. */
  readonly least: Setting<number> | undefined;
  readonly channels: readonly ChannelPart[];
  readonly converter: { readonly watts: number; readonly lockout: number } | undefined;
  readonly idleAmps: number;
  readonly wire: Conductor | undefined;
  readonly jointOhms: number;
  readonly rated: Setting<number> | undefined;
  readonly ends: ConnectorPart | undefined;
  readonly data: PixelData;
  /** Slots of a universe that one pixel takes. */
  readonly slots: Setting<number>;
  /** m that its data reaches to the next pixel. */
  readonly gapLimit: Setting<number>;
  readonly logic: PixelLogic;
  readonly source: string | undefined;
  /** m of its own cord; panels and floods only. */
  readonly cord?: number;
  readonly panel?: PanelFacts | undefined;
}

export interface CablePart extends Named, Priced {
  readonly kind: 'cable';
  readonly conductor: Conductor | undefined;
  readonly cores: ReadonlySet<string>;
  readonly rated: Setting<number> | undefined;
  readonly source: string | undefined;
}

export interface ConnectorPart extends Named, Priced {
  readonly kind: 'connector';
  readonly rated: number | undefined;
  readonly ohms: number;
  readonly source: string | undefined;
}

export interface SupplyPart extends Named, Priced {
  readonly kind: 'supply-part';
  readonly volts: number | undefined;
  readonly adjust: Range | undefined;
  readonly rated: number | undefined;
  readonly watts: number | undefined;
  readonly droop: number;
  readonly efficiency: Setting<number>;
  readonly powerFactor: Setting<number>;
  /** Peak at a cold start and current to earth, A. */
  readonly inrush: number | undefined;
  readonly leakage: number | undefined;
  readonly derating: Derating | undefined;
  readonly source: string | undefined;
}

export interface ControllerPart extends Named, Priced {
  readonly kind: 'controller-part';
  readonly ports: number | undefined;
  readonly portPixels: Setting<number> | undefined;
  readonly portFuse: number | undefined;
  readonly draws: number;
  readonly accepts: Range | undefined;
  readonly leadLimit: Setting<number>;
  /** V of a one on the data wire. */
  readonly drives: Setting<number>;
  readonly universesLimit: Setting<number> | undefined;
  /** bit/s of its network port. */
  readonly network: Setting<number>;
  /** m, of a receiver part: how far its link reaches. */
  readonly linkLimit?: Setting<number>;
  readonly source: string | undefined;
}

export interface Place extends Named {
  readonly kind: 'place';
}

export interface Route {
  readonly from: Place;
  readonly to: Place;
  readonly length: number;
  readonly limit: Given<unknown> | undefined;
  readonly most: number | undefined;
  /** How many cables passed last year, where the plan says so. */
  readonly before: { readonly cables: number; readonly origin: Origin } | undefined;
  readonly origin: Origin;
}

export interface Circuit extends Named {
  readonly kind: 'circuit';
  readonly amps: number | undefined;
  readonly volts: number | undefined;
  readonly ampsOrigin: Origin;
  /** Trip current of the residual-current device, A. */
  readonly residual: Setting<number> | undefined;
  readonly trip: Setting<Trip>;
  /** Share of the breaker for a load that lasts. */
  readonly continuous: Setting<number>;
  readonly extension: Extension | undefined;
  readonly place: Place | undefined;
}

/** A guyed mast, m, m2, m/s and N. */
export interface Mast extends Named {
  readonly kind: 'mast';
  readonly place: Place | undefined;
  readonly height: number;
  /** The strongest gust. */
  readonly wind: number;
  readonly sail: { readonly area: number; readonly drag: Setting<number>; readonly centre: Setting<number> };
  readonly guys: {
    readonly count: number;
    /** Above the foot, and from the foot to each anchor. */
    readonly height: number;
    readonly radius: number;
    /** Working load of one guy. */
    readonly rated: Setting<number> | undefined;
  };
  /** Working load of one anchor. */
  readonly anchor: Setting<number> | undefined;
}

/** An extension lead before a circuit's supplies or before one of them. */
export interface Extension {
  /** m */
  readonly length: number;
  readonly cord: CablePart | undefined;
  readonly origin: Origin;
}

export interface Output {
  /** The supply that feeds it, through fused boards where there are any. */
  readonly supply: Supply;
  /** The fused board that it is on; absent where it is the supply's own. */
  readonly board: Board | undefined;
  readonly number: number;
  readonly fuse: { readonly amps: number; readonly ohms: number; readonly origin: Origin } | undefined;
  readonly origin: Origin;
}

export interface Supply extends Named {
  readonly kind: 'supply';
  readonly part: SupplyPart | undefined;
  readonly place: Place | undefined;
  readonly circuit: Circuit | undefined;
  readonly extension: Extension | undefined;
  /** K above the air in its own box; absent where the plan's holds. */
  readonly boxRise: Setting<number> | undefined;
  readonly volts: Setting<number> | undefined;
  readonly outputs: ReadonlyMap<number, Output>;
}

/** A board of fused outputs that is fed through a cable from an output of a supply or of another board. */
export interface Board extends Named {
  readonly kind: 'board';
  readonly place: Place | undefined;
  readonly from: Output;
  readonly fromOrigin: Origin;
  readonly cable: CablePart & { readonly conductor: Conductor };
  /** m */
  readonly length: number;
  readonly parallel: number;
  readonly path: readonly Place[];
  /** Where its length is written beside its way. */
  readonly stated?: StatedWay;
  readonly cableOrigin: Origin;
  readonly outputs: ReadonlyMap<number, Output>;
}

/** A differential link that brings data from the ports of a controller to a receiver. */
export interface Link {
  /** The controller that it is plugged into, or the receiver that it goes on from. */
  readonly from: Controller;
  /** The controller that makes the data. */
  readonly source: Controller;
  /** The port of the source that comes out of the receiver's port 1. */
  readonly firstPort: number;
  /** m */
  readonly length: number;
  readonly cable: CablePart;
  readonly path: readonly Place[];
  readonly origin: Origin;
  readonly fromOrigin: Origin;
  /** Where its length is written beside its way. */
  readonly stated?: StatedWay;
  /** The length as written, or the way that it comes from. */
  readonly lengthOrigin: Origin;
}

/** What runs are plugged into: a controller, or a receiver that brings some of its ports elsewhere. */
export interface Controller extends Named {
  readonly kind: 'controller';
  readonly isReceiver: boolean;
  /** Of a receiver, where its link could be read. */
  readonly link: Link | undefined;
  readonly part: ControllerPart | undefined;
  readonly place: Place | undefined;
  readonly from: Output | undefined;
  readonly fromOrigin: Origin | undefined;
  readonly universes: ControllerUniverses | undefined;
}

/** A line of pixels in a prop or a run. A plain string is one strand. */
export interface StringLine {
  readonly kind: 'string';
  /** string, outline, arch, star, ring, matrix, tree or null. */
  readonly keyword: string;
  readonly name: string | undefined;
  readonly label: string | undefined;
  readonly strands: number;
  readonly perStrand: number;
  readonly part: PixelPart | undefined;
  /** m along the wire from pixel to pixel. */
  readonly pitch: number;
  /** m of string wire between strands; with the way back where all of them run the same way. */
  readonly spacing: number;
  /** m from strand to strand, side by side. */
  readonly across: number;
  /** No feed may be tapped in here. */
  readonly noTap?: boolean;
  readonly origin: Origin;
  readonly partOrigin: Origin;
  readonly countOrigin: Origin;
}

export interface GapLine {
  readonly kind: 'gap';
  readonly length: number;
  readonly cable: CablePart | undefined;
  readonly origin: Origin;
}

export interface Prop extends Named {
  readonly kind: 'prop';
  readonly lines: readonly (StringLine | GapLine)[];
}

/** What lies along a run, in data order, with copies and strands laid out. */
export type Piece = LeadPiece | StringPiece | GapPiece | CutPiece;

export interface LeadPiece {
  readonly kind: 'lead';
  readonly length: number;
  readonly cable: CablePart;
  readonly path: readonly Place[];
  /** Where its length is written beside its way. */
  readonly stated?: StatedWay;
  readonly origin: Origin;
  /** The length as written, or the way that it comes from. */
  readonly lengthOrigin: Origin;
}

/** A part of which is known what it runs at; what it accepts and needs is then known too, stated or by common practice. */
export type WholePart = PixelPart & {
  readonly wire: Conductor;
  readonly volts: number;
  readonly accepts: Setting<Range>;
  readonly least: Setting<number>;
};

export interface StringPiece {
  readonly kind: 'string';
  readonly line: StringLine;
  readonly part: WholePart;
  /** Number of the first pixel, counted from 1 along the run. */
  readonly first: number;
  readonly count: number;
  readonly pitch: number;
  /** Names under which this strand is known in the run: the line's own, and that of the copies it is one of. */
  readonly element: string | undefined;
  readonly copies: { readonly name: string; readonly number: number } | undefined;
  readonly strand: number;
  readonly origin: Origin;
}

export interface GapPiece {
  readonly kind: 'gap';
  readonly length: number;
  /** Absent where the string's own wire goes on. */
  readonly cable: CablePart | undefined;
  readonly wire: Conductor;
  /** Between strands of one matrix or tree no connector stands. */
  readonly bare: boolean;
  readonly origin: Origin;
}

export interface CutPiece {
  readonly kind: 'cut';
  readonly origin: Origin;
}

export interface Run extends Named {
  readonly kind: 'run';
  readonly controller: Controller | undefined;
  readonly port: number | undefined;
  readonly portOrigin: Origin | undefined;
  readonly place: Place | undefined;
  readonly pieces: readonly Piece[];
  readonly pixelCount: number;
  /** Absent where the address is found automatically. */
  readonly pin: AddressPin | undefined;
  /** No feed may be tapped in anywhere on it. */
  readonly noTap?: boolean;
}

/** A joint of a run: pixel n of a string piece, or with n = 0 the joint before its first pixel. */
export interface Tap {
  readonly run: Run;
  readonly piece: StringPiece;
  readonly pixel: number;
  readonly text: string;
  readonly origin: Origin;
}

export type FeedPiece =
  | {
      readonly kind: 'cable';
      readonly length: number;
      readonly cable: CablePart & { readonly conductor: Conductor };
      readonly parallel: number;
      readonly path: readonly Place[];
      /** Where its length is written beside its way. */
      readonly stated?: StatedWay;
      readonly origin: Origin;
      readonly cableOrigin: Origin;
    }
  | { readonly kind: 'tap'; readonly tap: Tap; readonly connector: ConnectorPart | undefined; readonly origin: Origin };

export interface Feed extends Named {
  readonly kind: 'feed';
  readonly from: Output | undefined;
  readonly fromOrigin: Origin | undefined;
  readonly pieces: readonly FeedPiece[];
}

export interface Bond extends Named {
  readonly kind: 'bond';
  readonly from: Supply | Controller;
  readonly to: Supply | Controller;
  readonly length: number;
  readonly cable: CablePart & { readonly conductor: Conductor };
}

/** A reading of the meter between V+ and ground at a joint. */
export interface Measurement {
  readonly tap: Tap;
  readonly volts: number;
  readonly look: Design['look']['value'];
  readonly brightness: number;
  /** As written: year-month-day. */
  readonly date: string | undefined;
  readonly voltsOrigin: Origin;
}

export interface Design {
  readonly title: string | undefined;
  readonly titleOrigin: Origin | undefined;
  readonly frameRate: Setting<number>;
  /** Warmest air, degC: copper resists most there. */
  readonly air: Setting<Range>;
  readonly look: Setting<'full-white' | 'red' | 'green' | 'blue'>;
  readonly brightness: Setting<number>;
  readonly supplyShare: Setting<number>;
  readonly fuseShare: Setting<number>;
  readonly slack: Setting<number>;
  readonly data: DataDesign;
  /** K by which the box of a supply is warmer than the air. */
  readonly boxRise: Setting<number>;
  readonly season: Season | undefined;
  readonly spares: Spares;
  /** Shares by which supplies and pixels may stray; 0 where the plan does not say. */
  readonly tolerance: { readonly supplies: number; readonly pixels: number };
  /** The units that the plan's lengths are written in; what is printed follows them. */
  readonly units: LengthUnits;
}

export interface Plan {
  readonly design: Design;
  readonly places: ReadonlyMap<string, Place>;
  readonly routes: readonly Route[];
  readonly pixels: ReadonlyMap<string, PixelPart>;
  readonly panels: ReadonlyMap<string, PixelPart>;
  readonly floods: ReadonlyMap<string, PixelPart>;
  readonly cables: ReadonlyMap<string, CablePart>;
  readonly connectors: ReadonlyMap<string, ConnectorPart>;
  readonly supplyParts: ReadonlyMap<string, SupplyPart>;
  readonly controllerParts: ReadonlyMap<string, ControllerPart>;
  readonly receiverParts: ReadonlyMap<string, ControllerPart>;
  readonly circuits: ReadonlyMap<string, Circuit>;
  readonly masts: ReadonlyMap<string, Mast>;
  readonly supplies: ReadonlyMap<string, Supply>;
  readonly boards: ReadonlyMap<string, Board>;
  readonly controllers: ReadonlyMap<string, Controller>;
  readonly props: ReadonlyMap<string, Prop>;
  readonly runs: ReadonlyMap<string, Run>;
  readonly feeds: ReadonlyMap<string, Feed>;
  readonly bonds: ReadonlyMap<string, Bond>;
  readonly measurements: readonly Measurement[];
  /** Every name that was resolved, for definition, references and renaming. Of a large plan tens of thousands, so listed when asked. */
  readonly uses: () => readonly NameUse[];
}

export interface NameUse {
  readonly origin: Origin;
  readonly target: Origin;
}
