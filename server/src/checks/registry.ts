import { acceptUnused } from './accept-unused.ts';
import { addressOverlap } from './address-overlap.ts';
import { addressRange } from './address-range.ts';
import { cableOverloaded } from './cable-overloaded.ts';
import { cableTooShort } from './cable-too-short.ts';
import type { Check } from './check.ts';
import { circuitInrush } from './circuit-inrush.ts';
import { circuitOverloaded } from './circuit-overloaded.ts';
import { conductorOverloaded } from './conductor-overloaded.ts';
import { connectorOverloaded } from './connector-overloaded.ts';
import { dataMargin } from './data-margin.ts';
import { expectationFailed } from './expectation-failed.ts';
import { extensionCord } from './extension-cord.ts';
import { extensionDrop } from './extension-drop.ts';
import { extensionOverloaded } from './extension-overloaded.ts';
import { feedUnfused } from './feed-unfused.ts';
import { fuseOverloaded } from './fuse-overloaded.ts';
import { fuseTooLarge } from './fuse-too-large.ts';
import { gapTooLong } from './gap-too-long.ts';
import { guyOverloaded } from './guy-overloaded.ts';
import { LANGUAGE_CHECKS } from './language.ts';
import { leadTooLong } from './lead-too-long.ts';
import { linkGroundShift } from './link-ground-shift.ts';
import { linkTooLong } from './link-too-long.ts';
import { lowVoltage } from './low-voltage.ts';
import { mainFuseSmall } from './main-fuse-small.ts';
import { measuredDiffers } from './measured-differs.ts';
import { mixedData } from './mixed-data.ts';
import { mixedPort } from './mixed-port.ts';
import { networkLoad } from './network-load.ts';
import { noData } from './no-data.ts';
import { noGround } from './no-ground.ts';
import { noPower } from './no-power.ts';
import { panelRefresh } from './panel-refresh.ts';
import { portOverloaded } from './port-overloaded.ts';
import { portPixels } from './port-pixels.ts';
import { portTaken } from './port-taken.ts';
import { residualCurrent } from './residual-current.ts';
import { routeCrowded } from './route-crowded.ts';
import { routeGrown } from './route-grown.ts';
import { suppliesMeet } from './supplies-meet.ts';
import { supplyOverloaded } from './supply-overloaded.ts';
import { supplySetting } from './supply-setting.ts';
import { tooManyPixels } from './too-many-pixels.ts';
import { tooManyUniverses } from './too-many-universes.ts';
import { unsolved } from './unsolved.ts';
import { voltageCollapse } from './voltage-collapse.ts';
import { wrongVoltage } from './wrong-voltage.ts';

/** Every check there is, in the order in which reports list them. To add one: a file of its own, and a line here. */
export const CHECKS: readonly Check[] = [
  ...LANGUAGE_CHECKS,
  wrongVoltage,
  suppliesMeet,
  noGround,
  noData,
  noPower,
  voltageCollapse,
  lowVoltage,
  fuseOverloaded,
  portOverloaded,
  supplyOverloaded,
  conductorOverloaded,
  connectorOverloaded,
  cableOverloaded,
  fuseTooLarge,
  mainFuseSmall,
  feedUnfused,
  circuitOverloaded,
  circuitInrush,
  residualCurrent,
  extensionCord,
  extensionOverloaded,
  extensionDrop,
  guyOverloaded,
  supplySetting,
  portTaken,
  mixedPort,
  portPixels,
  mixedData,
  panelRefresh,
  leadTooLong,
  gapTooLong,
  dataMargin,
  addressOverlap,
  addressRange,
  tooManyPixels,
  tooManyUniverses,
  networkLoad,
  linkTooLong,
  linkGroundShift,
  cableTooShort,
  routeCrowded,
  routeGrown,
  measuredDiffers,
  expectationFailed,
  acceptUnused,
  unsolved,
];

export const CHECK_BY_CODE: ReadonlyMap<string, Check> = new Map(CHECKS.map((check) => [check.code, check]));
