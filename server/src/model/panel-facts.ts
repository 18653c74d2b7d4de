import type { Setting } from './setting.ts';

/** How a multiplexed panel is lit. */
export interface PanelFacts {
  readonly rows: number;
  readonly columns: number;
  /** In how many turns the rows are lit. */
  readonly turns: number;
  /** Bit planes of each colour. */
  readonly bits: number;
  /** Clock of the ribbon, Hz. */
  readonly rate: number;
  /** The lightest planes that are blanked early, so that they take one shift each. */
  readonly shortened: number;
  /** Least rate at which the picture is to be shown again, Hz. */
  readonly refresh: Setting<number>;
}
