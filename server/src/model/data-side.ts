import type { Origin } from './finding.ts';
import type { Setting } from './setting.ts';

/** What the data side of the plan states: protocols, logic levels, addresses, the network. In SI units. */

/** How the pixels of a port take their data. A frame lasts (start + pixels x (bits + end)) / rate + reset. */
export interface PixelData {
  readonly protocol: 'one-wire' | 'clocked' | 'dmx';
  /** Bits of one pixel. */
  readonly bits: number;
  /** Bits a second. */
  readonly rate: number;
  /** Pause that ends a frame, s. */
  readonly reset: number;
  /** Bits before the first pixel. */
  readonly start: number;
  /** Bits at the end of a frame for each pixel. */
  readonly end: number;
  readonly origin: Origin | undefined;
}

/** What a pixel takes for a one, measured from its own ground. */
export interface PixelLogic {
  /** V of its own regulator; absent where the supply of the pixel is that of its logic. */
  readonly volts: Setting<number> | undefined;
  /** The share of that voltage that is read as a one; what is below the rest of it is read as a zero. */
  readonly threshold: Setting<number>;
}

/** Where the addresses of a controller's runs begin. */
export interface ControllerUniverses {
  readonly first: number;
  readonly firstOrigin: Origin;
  /** May the slots of one pixel lie in two universes? */
  readonly split: boolean;
}

/** The address that a run is given in the plan. */
export interface AddressPin {
  readonly universe: number;
  readonly slot: number;
  readonly universeOrigin: Origin;
  readonly slotOrigin: Origin | undefined;
}

/** The network as the plan states it, and what must be left of the data signal. */
export interface DataDesign {
  /** bit/s */
  readonly network: Setting<number>;
  readonly networkShare: Setting<number>;
  readonly synchronised: boolean;
  /** V */
  readonly margin: Setting<number>;
}
