import { exceeds } from '../checks/limits.ts';
import { colourNames } from '../model/colour-shift.ts';
import { isFixtures, isFloods, unitOfRun } from '../model/fixtures.ts';
import { outputText } from '../model/outputs.ts';
import type { Design } from '../model/plan.ts';
import { portName } from '../model/port-of.ts';
import { amps, count, metres, rating, share, volts, watts } from '../model/texts.ts';
import { type Line, type Piece, type Style, styled } from './page.ts';
import type { OutputReport, Report, RunReport } from './report.ts';
import { type Column, type Row, table } from './table.ts';

/** The tables of the account: one for each kind of thing, with shares of limits coloured by how good practice sees them. */

export function supplyTable({ plan, supplies }: Report, width: number): Line[] {
  const columns: Column[] = [
    first('Supplies'),
    { title: 'amps', align: 'right' },
    {},
    { title: 'share', align: 'right' },
    { spare: 2 },
    { title: 'volts', align: 'right' },
    { title: 'watts', align: 'right' },
    { title: 'at', most: 14, spare: 1 },
  ];
  const rows = supplies.flatMap(({ supply, account, rated, share: used, outputs }): Row[] => {
    const style = gradeOf(used, plan.design.supplyShare.value);
    const row: Row = [
      `  ${supply.name}${supply.label === undefined ? '' : `  ${supply.label}`}`,
      account === undefined ? UNKNOWN : amps(account.amps),
      rated === undefined ? '' : `of ${rating(rated)}`,
      shareText(used, style),
      bar(used, style),
      account === undefined ? '' : volts(account.volts),
      account === undefined ? '' : watts(account.watts),
      supply.place?.name ?? '',
    ];
    return [row, ...outputRows(outputs, plan.design)];
  });
  return table(columns, rows, width);
}

function outputRows(outputs: readonly OutputReport[], design: Design): Row[] {
  const rows = outputs
    .filter((output) => output.isUsed)
    .map(({ output, amps: load, share: used }): Row => {
      const style = gradeOf(used, design.fuseShare.value);
      const fuse = output.fuse === undefined ? styled('no fuse', 'warning') : `of ${rating(output.fuse.amps)} fuse`;
      return [
        output.board === undefined ? `    output ${output.number}` : `      ${outputText(output)}`,
        load === undefined ? UNKNOWN : amps(load),
        fuse,
        shareText(used, style),
        bar(used, style),
      ];
    });
  const spare = outputs.filter((output) => !output.isUsed);
  if (spare.length > 0)
    rows.push([
      styled(
        `    free: ${spare.map(({ output }) => (output.board === undefined ? output.number : outputText(output))).join(', ')}`,
        'faint',
      ),
    ]);
  return rows;
}

export function runTable({ plan, runs }: Report, width: number): Line[] {
  const columns: Column[] = [
    first('Runs'),
    { title: 'port', most: 16 },
    { title: 'pixels', align: 'right' },
    { title: 'amps', align: 'right' },
    { title: 'by port', align: 'right' },
    { title: 'least volts', align: 'right' },
    { title: 'at pixel', most: 20 },
    { title: 'needs', align: 'right' },
    { title: 'colour shift', spare: 1 },
    { title: 'frame', align: 'right' },
  ];
  return table(
    columns,
    runs.map((run) => runRow(run, plan.design.fuseShare.value)),
    width,
  );
}

function runRow(report: RunReport, fuseShare: number): Row {
  const { run, account, needs, shift, portFuse, portShare, frameSeconds, frameShare } = report;
  const least = account?.least;
  const low = least !== undefined && needs !== undefined && exceeds(needs, least.volts);
  const piece = account?.strings.find((string) => string.least.pixel === least?.pixel)?.piece;
  const element = piece?.copies === undefined ? piece?.element : `${piece.copies.name}(${piece.copies.number})`;
  const passed = portFuse === undefined || account === undefined ? '' : amps(account.portAmps);
  return [
    `  ${run.name}`,
    run.controller === undefined ? '' : portName(run),
    isFixtures(run) ? count(run.pixelCount, unitOfRun(run)) : run.pixelCount.toLocaleString('en'),
    account === undefined ? UNKNOWN : amps(account.amps),
    portShare === undefined
      ? passed
      : styled(`${passed} ${share(portShare).padStart(5)}`, gradeOf(portShare, fuseShare)),
    least === undefined ? '' : styled(volts(least.volts), low ? 'warning' : 'good'),
    least === undefined ? '' : `${least.pixel}${element === undefined ? '' : ` ${element}`}`,
    needs === undefined ? '' : volts(needs),
    shift === undefined ? '' : `${colourNames(shift.colours)} ${share(shift.share)} at ${shift.pixel}`,
    isFloods(run) ? '' : styled(`${(frameSeconds * 1000).toFixed(1)} ms`, exceeds(frameShare, 1) ? 'error' : 'good'),
  ];
}

export function feedTable({ plan, feeds }: Report, width: number): Line[] {
  const columns: Column[] = [
    first('Feeds'),
    { title: 'from', most: 14 },
    { title: 'to', most: 24 },
    { title: 'cable', most: 24 },
    { title: 'length', align: 'right' },
    { title: 'amps', align: 'right' },
    { title: 'share', align: 'right' },
    { title: 'drop', align: 'right' },
  ];
  const rows = feeds.map(({ feed, account, metres: length, taps, cables, share: used }): Row => {
    const kinds = new Set(
      cables.map((cable) => `${cable.part?.name ?? ''}${cable.parallel > 1 ? ` x ${cable.parallel}` : ''}`),
    );
    const [kind = ''] = kinds;
    return [
      `  ${feed.name}`,
      feed.from === undefined ? '' : outputText(feed.from),
      taps.length > 1 ? `${taps.length} taps` : (taps[0]?.tap.tap.text ?? ''),
      kinds.size > 1 ? `${kinds.size} kinds` : kind,
      metres(length, plan.design.units),
      account === undefined ? UNKNOWN : amps(account.amps),
      shareText(used, gradeOf(used, 1)),
      account === undefined ? '' : volts(account.drop),
    ];
  });
  return table(columns, rows, width);
}

export function routeTable({ plan, routes }: Report, width: number): Line[] {
  const columns: Column[] = [
    { ...first('Routes'), most: 44 },
    { title: 'length', align: 'right' },
    { title: 'cables', align: 'right' },
    { title: 'limit', align: 'right' },
  ];
  const rows = routes.map(({ route, cables }): Row => {
    const crowded = route.most !== undefined && cables > route.most;
    return [
      `  ${route.from.name} to ${route.to.name}`,
      metres(route.length, plan.design.units),
      crowded ? styled(String(cables), 'warning') : String(cables),
      route.most === undefined ? '' : String(route.most),
    ];
  });
  return table(columns, rows, width);
}

export function circuitTable({ circuits }: Report, width: number): Line[] {
  const columns: Column[] = [
    first('Mains circuits'),
    { title: 'amps', align: 'right' },
    {},
    { title: 'share', align: 'right' },
    { spare: 1 },
    { title: 'inrush', align: 'right' },
    { title: 'leakage', align: 'right' },
    { title: 'supplies', most: 60 },
  ];
  const rows = circuits.map(({ circuit, amps: load, share: used, supplies, inrush, leakage }): Row => {
    const style = gradeOf(used, circuit.continuous.value);
    return [
      `  ${circuit.name}`,
      amps(load),
      circuit.amps === undefined ? '' : `of ${rating(circuit.amps)}`,
      shareText(used, style),
      bar(used, style),
      inrush.stated === 0 ? '' : rating(inrush.amps),
      leakage.stated === 0 ? '' : `${Number((leakage.amps * 1000).toPrecision(3))} mA`,
      supplies.map((supply) => supply.name).join(', '),
    ];
  });
  return table(columns, rows, width);
}

export function extensionTable({ plan, extensions }: Report, width: number): Line[] {
  const columns: Column[] = [
    first('Extension leads'),
    { title: 'cord', most: 20 },
    { title: 'length', align: 'right' },
    { title: 'amps', align: 'right' },
    { title: 'drop', align: 'right' },
    { title: 'of the mains', align: 'right' },
  ];
  const rows = extensions.map(({ owner, extension, circuit, amps: load, drop }): Row => {
    const mains = circuit?.volts;
    return [
      `  ${owner.name}`,
      extension.cord?.name ?? '',
      metres(extension.length, plan.design.units),
      amps(load),
      drop === undefined ? '' : volts(drop),
      drop === undefined || mains === undefined ? '' : `${((drop / mains) * 100).toFixed(1)} %`,
    ];
  });
  return table(columns, rows, width);
}

/** The first column holds the names; its title names the table. */
function first(title: string): Column {
  return { title: styled(title, 'strong'), most: 30 };
}

/** Stands where no voltages were found. */
const UNKNOWN: Piece = styled('?', 'error');

/** Above the share that is good practice it is a warning, above the rating itself an error. */
function gradeOf(used: number | undefined, limit: number): Style {
  if (used === undefined || !exceeds(used, limit)) return 'good';
  return exceeds(used, 1) ? 'error' : 'warning';
}

function shareText(used: number | undefined, style: Style): Piece {
  return used === undefined ? '' : styled(share(used), style);
}

const CELLS = 10;

/** Ten cells, filled by tenths of the rating; a load that is there fills at least one. */
function bar(used: number | undefined, style: Style): Piece {
  if (used === undefined) return '';
  const filled = used <= 0 ? 0 : Math.min(CELLS, Math.max(1, Math.round(used * CELLS)));
  return styled('█'.repeat(filled) + '░'.repeat(CELLS - filled), style);
}
