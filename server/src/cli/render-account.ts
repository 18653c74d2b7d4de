import type { Design } from '../model/plan.ts';
import { amps, count, metres, rating, share, volts, watts } from '../model/texts.ts';
import { type Line, type Piece, type Style, styled, wrap } from './page.ts';
import type { CircuitReport, FeedReport, OutputReport, Report, RunReport, SupplyReport } from './report.ts';
import { type Column, type Row, table } from './table.ts';

/** The account of a display: what each supply, run, feed, route and circuit carries, and how much of its limit that is. */
export function renderAccount(report: Report, name: string, width: number): Line[] {
  const { design } = report.plan;
  const sections: Line[][] = [
    summary(report, name, width),
    section('Supplies', supplies(report.supplies, design, width)),
    section('Runs', runs(report.runs, width)),
    section('Feeds', feeds(report.feeds, design, width)),
    section('Routes', routes(report, width)),
    section('Mains circuits', circuits(report.circuits, width)),
  ];
  return sections.filter((lines) => lines.length > 0).flatMap((lines) => [...lines, []]);
}

function section(title: string, lines: Line[]): Line[] {
  return lines.length === 0 ? [] : [[styled(title, 'strong')], ...lines];
}

function summary({ plan, totals, supplies: given }: Report, name: string, width: number): Line[] {
  const { design } = plan;
  const look = `${design.look.value === 'full-white' ? 'full white' : design.look.value} at ${share(design.brightness.value)}`;
  const designed = `Designed for ${look} and ${design.frameRate.value} fps, with copper at ${temperature(design)}; supplies to ${share(design.supplyShare.value)} of their rating, fuses to ${share(design.fuseShare.value)}.`;
  const power =
    given.length === 0
      ? `${count(totals.pixels, 'pixel')} on ${count(plan.runs.size, 'run')}.`
      : `${count(totals.pixels, 'pixel')} on ${count(plan.runs.size, 'run')} draw ${watts(totals.watts)} from ${count(given.length, 'supply', 'supplies')}; the mains gives about ${watts(totals.mainsWatts)} (${Math.round(totals.mainsVoltAmperes)} VA).`;
  const missing =
    totals.unsolved === 0 ? [] : [styled('For a part of the plan no voltages were found; see the findings.', 'error')];
  return [
    [styled(design.title ?? name, 'strong')],
    ...[power, designed].flatMap((text) => wrap(text, width)).map((text): Line => [text]),
    ...missing.map((piece): Line => [piece]),
  ];
}

function temperature({ air, units }: Design): string {
  const celsius = air.value.to;
  return units === 'metric' ? `${Math.round(celsius)} degC` : `${Math.round(celsius * 1.8 + 32)} degF`;
}

const NAME: Column = { most: 26 };

function supplies(given: readonly SupplyReport[], design: Design, width: number): Line[] {
  const columns: Column[] = [
    NAME,
    { title: 'amps', align: 'right' },
    { title: '', align: 'left' },
    { title: 'share', align: 'right' },
    { spare: 2 },
    { title: 'volts', align: 'right' },
    { title: 'watts', align: 'right' },
    { title: 'at', most: 14, spare: 1 },
  ];
  const rows = given.flatMap(({ supply, account, rated, share: used, outputs }): Row[] => {
    const style = levelOf(used, design.supplyShare.value);
    const label = supply.label === undefined ? supply.name : `${supply.name} ${supply.label}`;
    const row: Row = [
      label,
      account === undefined ? NOT_COMPUTED : amps(account.amps),
      rated === undefined ? '' : `of ${rating(rated)}`,
      shareText(used, style),
      bar(used, style),
      account === undefined ? '' : volts(account.volts),
      account === undefined ? '' : watts(account.watts),
      supply.place?.name ?? '',
    ];
    return [row, ...outputRows(outputs, design)];
  });
  return table(columns, rows, width);
}

function outputRows(outputs: readonly OutputReport[], design: Design): Row[] {
  const rows = outputs
    .filter((output) => output.isUsed)
    .map(({ output, amps: load, share: used }): Row => {
      const style = levelOf(used, design.fuseShare.value);
      const fuse = output.fuse === undefined ? styled('no fuse', 'warning') : `of ${rating(output.fuse.amps)} fuse`;
      return [
        `  output ${output.number}`,
        load === undefined ? NOT_COMPUTED : amps(load),
        fuse,
        shareText(used, style),
        bar(used, style),
      ];
    });
  const spare = outputs.filter((output) => !output.isUsed);
  if (spare.length > 0) rows.push([styled(`  free: ${spare.map(({ output }) => output.number).join(', ')}`, 'faint')]);
  return rows;
}

function runs(given: readonly RunReport[], width: number): Line[] {
  const columns: Column[] = [
    NAME,
    { title: 'port', most: 16 },
    { title: 'pixels', align: 'right' },
    { title: 'amps', align: 'right' },
    { title: 'through port', align: 'right', spare: 1 },
    { title: 'least voltage', align: 'right' },
    {},
    { title: 'needs', align: 'right' },
    { title: 'frame', align: 'right' },
  ];
  const rows = given.map(({ run, account, needs, portFuse, portShare, frameSeconds, frameShare }): Row => {
    const least = account?.least;
    const low = least !== undefined && needs !== undefined && least.volts < needs - 1e-9;
    const port = run.controller === undefined ? '' : `${run.controller.name}.${run.port ?? '?'}`;
    return [
      run.name,
      port,
      run.pixelCount.toLocaleString('en'),
      account === undefined ? NOT_COMPUTED : amps(account.amps),
      portFuse === undefined || account === undefined
        ? ''
        : shareText(portShare, levelOf(portShare, 1), `${amps(account.portAmps)}  `),
      least === undefined ? '' : styled(volts(least.volts), low ? 'warning' : 'good'),
      least === undefined ? '' : `at [${least.pixel}]`,
      needs === undefined ? '' : volts(needs),
      styled(`${(frameSeconds * 1000).toFixed(1)} ms`, frameShare > 1 + 1e-9 ? 'error' : 'good'),
    ];
  });
  return table(columns, rows, width);
}

function feeds(given: readonly FeedReport[], design: Design, width: number): Line[] {
  const columns: Column[] = [
    NAME,
    { title: 'from', most: 14 },
    { title: 'to', most: 24 },
    { title: 'cable', most: 22 },
    { title: 'length', align: 'right' },
    { title: 'amps', align: 'right' },
    { title: 'share', align: 'right' },
    { title: 'drop', align: 'right' },
  ];
  const rows = given.map(({ feed, account, metres: length, taps, cables, share: used }): Row => {
    const [tap] = taps;
    const kinds = [
      ...new Set(cables.map((cable) => `${cable.part?.name ?? ''}${cable.parallel > 1 ? ` x ${cable.parallel}` : ''}`)),
    ];
    return [
      feed.name,
      feed.from === undefined ? '' : `${feed.from.supply.name}.${feed.from.number}`,
      taps.length > 1 ? `${taps.length} taps` : (tap?.tap.tap.text ?? ''),
      kinds.length > 1 ? `${kinds[0]} and others` : (kinds[0] ?? ''),
      metres(length, design.units),
      account === undefined ? NOT_COMPUTED : amps(account.amps),
      shareText(used, levelOf(used, 1)),
      account === undefined ? '' : volts(account.drop),
    ];
  });
  return table(columns, rows, width);
}

function routes({ plan, routes: given }: Report, width: number): Line[] {
  const columns: Column[] = [
    { most: 40 },
    { title: 'length', align: 'right' },
    { title: 'cables', align: 'right' },
    { title: 'limit', align: 'right' },
  ];
  const rows = given.map(({ route, cables }): Row => {
    const crowded = route.most !== undefined && cables > route.most;
    return [
      `${route.from.name} to ${route.to.name}`,
      metres(route.length, plan.design.units),
      crowded ? styled(String(cables), 'warning') : String(cables),
      route.most === undefined ? '' : String(route.most),
    ];
  });
  return table(columns, rows, width);
}

function circuits(given: readonly CircuitReport[], width: number): Line[] {
  const columns: Column[] = [
    NAME,
    { title: 'amps', align: 'right' },
    { title: '' },
    { title: 'share', align: 'right' },
    { spare: 1 },
    { title: 'supplies', most: 40 },
  ];
  const rows = given.map(({ circuit, amps: load, share: used, supplies: on }): Row => {
    const style = levelOf(used, 0.8);
    return [
      circuit.name,
      amps(load),
      circuit.amps === undefined ? '' : `of ${rating(circuit.amps)}`,
      shareText(used, style),
      bar(used, style),
      on.map((supply) => supply.name).join(', '),
    ];
  });
  return table(columns, rows, width);
}

const NOT_COMPUTED: Piece = styled('?', 'error');

/** Above the share that is good practice it is a warning, above the rating itself an error. */
function levelOf(used: number | undefined, limit: number): Style {
  if (used === undefined || used <= limit * (1 + 1e-9)) return 'good';
  return used > 1 + 1e-9 ? 'error' : 'warning';
}

function shareText(used: number | undefined, style: Style, before = ''): Piece {
  return used === undefined ? before.trimEnd() : styled(`${before}${share(used)}`, style);
}

const BAR = 10;

/** Ten cells, filled by tenths of the rating; a load that is there fills at least one. */
function bar(used: number | undefined, style: Style): Piece {
  if (used === undefined) return '';
  const filled = used <= 0 ? 0 : Math.min(BAR, Math.max(1, Math.round(used * BAR)));
  return styled('█'.repeat(filled) + '░'.repeat(BAR - filled), style);
}
