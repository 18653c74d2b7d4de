import type { Setting } from './setting.ts';

/** What is kept beside what hangs: shares of pixels, connectors and metres, numbers of devices and fuses of each kind. */
export interface Spares {
  readonly pixels: Setting<number>;
  readonly connectors: Setting<number>;
  readonly cable: Setting<number>;
  readonly devices: Setting<number>;
  readonly fuses: Setting<number>;
}
