import { sure } from '#grammar/sure.ts';
import type { Account } from '../model/account.ts';
import { pixelsOf } from '../model/account.ts';
import { jointVolts } from '../model/joint-volts.ts';
import type { Plan } from '../model/plan.ts';
import { volts } from '../model/texts.ts';
import { type Cell, figure, type Paper, type Table } from './paper.ts';

/** What the meter should say at each supply, each tap and each far end, with room for what it does say. */
export function expectedVolts(plan: Plan, account: Account): Paper {
  const { look, brightness } = plan.design;
  return {
    id: 'volts',
    title: 'Voltages to expect',
    intro: `With everything at ${look.value} at ${Math.round(brightness.value * 100)} %, between V+ and ground. Much less than this: a joint is bad between here and the last place where the meter agreed. Write what it says into the plan as a "measured" line, and Festoon names the likely joint.`,
    tables: [supplyVolts(plan, account), tapVolts(plan, account), endVolts(plan, account)].filter(
      ({ rows }) => rows.length > 0,
    ),
  };
}

const READING = [
  { title: 'computed', align: 'right' as const, unit: 'V' },
  { title: 'meter', blank: true },
  { title: 'date', blank: true },
];

function supplyVolts(plan: Plan, account: Account): Table {
  return {
    id: 'volts-supplies',
    title: 'At the supplies',
    columns: [
      { title: 'supply' },
      { title: 'at' },
      { title: 'set, without load', align: 'right', unit: 'V' },
      ...READING,
    ],
    rows: [...plan.supplies.values()].map((supply): Cell[] => {
      const load = account.supplies.get(supply);
      return [
        supply.name,
        supply.place?.name,
        supply.volts === undefined ? undefined : figure(supply.volts.value, volts),
        load === undefined ? undefined : figure(load.volts, volts),
        undefined,
        undefined,
      ];
    }),
  };
}

function tapVolts(plan: Plan, account: Account): Table {
  const rows = [...plan.feeds.values()].flatMap((feed) =>
    feed.pieces.flatMap((piece): Cell[][] => {
      if (piece.kind !== 'tap') return [];
      const run = account.runs.get(piece.tap.run);
      const at = run === undefined ? undefined : jointVolts(run.solved.circuit, run.solved.outcome, piece.tap);
      return [[piece.tap.text, feed.name, at === undefined ? undefined : figure(at, volts), undefined, undefined]];
    }),
  );
  return { id: 'volts-taps', title: 'At the taps', columns: [{ title: 'tap' }, { title: 'feed' }, ...READING], rows };
}

function endVolts(plan: Plan, account: Account): Table {
  const rows = [...plan.runs.values()].flatMap((run): Cell[][] => {
    const load = account.runs.get(run);
    if (load === undefined || run.pixelCount === 0) return [];
    const { volts: each } = pixelsOf(load);
    const row = (pixel: number, what: string): Cell[] => [
      `${run.name}[${pixel}]`,
      what,
      figure(sure(each[pixel - 1]), volts),
      undefined,
      undefined,
    ];
    const rowsHere = [row(1, 'first pixel')];
    if (load.least !== undefined && load.least.pixel > 1 && load.least.pixel < run.pixelCount)
      rowsHere.push(row(load.least.pixel, 'least of the run'));
    if (run.pixelCount > 1)
      rowsHere.push(
        row(run.pixelCount, load.least?.pixel === run.pixelCount ? 'last pixel, least of the run' : 'last pixel'),
      );
    return rowsHere;
  });
  return { id: 'volts-runs', title: 'Along the runs', columns: [{ title: 'pixel' }, { title: '' }, ...READING], rows };
}
