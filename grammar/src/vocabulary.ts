import { BOARD } from './words/boards.ts';
import { ACCEPT, EXPECT } from './words/claims.ts';
import { FLOOD, PART_FLOOD, PART_PANEL } from './words/fixtures.ts';
import { CIRCUIT } from './words/mains.ts';
import { MAST } from './words/mast.ts';
import { PART_CABLE, PART_CONNECTOR, PART_CONTROLLER, PART_PIXEL, PART_SUPPLY } from './words/parts.ts';
import { PART_RECEIVER, RECEIVER } from './words/receivers.ts';
import { BOND, FEED, MEASURED, PROP, RUN } from './words/runs.ts';
import { CONTROLLER, PLACE, PLAN, ROUTE, SUPPLY, USE } from './words/site.ts';

/**
 * The words of the language: one table from which binding, completion, hover help, the reference page and the
 * syntax colours are derived. To add a statement, add an entry here; to give it a meaning, read its fields in the
 * server's model.
 */

/** Every statement that may stand at the top of a file. */
export const STATEMENTS = [
  PLAN,
  USE,
  PLACE,
  ROUTE,
  PART_PIXEL,
  PART_PANEL,
  PART_FLOOD,
  PART_CABLE,
  PART_CONNECTOR,
  PART_SUPPLY,
  PART_CONTROLLER,
  PART_RECEIVER,
  CIRCUIT,
  MAST,
  SUPPLY,
  BOARD,
  CONTROLLER,
  RECEIVER,
  PROP,
  RUN,
  FLOOD,
  FEED,
  BOND,
  MEASURED,
  EXPECT,
  ACCEPT,
] as const;

/** The first words of declarations. At the start of a line each of them closes whatever block is still open. */
export const TOP_KEYWORDS: ReadonlySet<string> = new Set(
  STATEMENTS.map((statement) => statement.word.replace(/ .*/, '')),
);
