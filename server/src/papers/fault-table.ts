import type { Account } from '../model/account.ts';
import { type Fault, type FaultyThing, faultsOf, isInUse, matters, type PixelRange } from '../model/faults.ts';
import { outputText, ownerOf } from '../model/outputs.ts';
import type { Plan } from '../model/plan.ts';
import { rating } from '../model/texts.ts';
import type { Cell, Paper } from './paper.ts';

/** Show night: these pixels are dark, so look here first. */
export function faultTable(plan: Plan, account: Account): Paper {
  const faults = faultsOf(account);
  return {
    id: 'faults',
    title: 'When something goes dark',
    intro:
      'Find the dark or dim pixels in the right column, look first at what stands to the left. Switch the supply off before a fuse is changed, put in the same rating, and find out why it blew: a second one tells nothing new.',
    tables: [
      {
        id: 'faults',
        columns: [
          { title: 'if this fails' },
          { title: 'where' },
          { title: 'these go dark' },
          { title: 'these go dim' },
          { title: 'and then blow' },
        ],
        rows: faults
          .filter(matters)
          .map((fault): Cell[] => [
            thingText(fault.what),
            placeText(fault.what),
            rangesText(fault, 'dark'),
            rangesText(fault, 'low'),
            fault.blown.map((output) => outputText(output)).join(', '),
          ]),
      },
      ...spares(plan, faults),
    ],
  };
}

function spares(plan: Plan, faults: readonly Fault[]): Paper['tables'] {
  const quiet = faults.filter((fault) => !matters(fault) && isInUse(plan, fault.what));
  if (quiet.length === 0) return [];
  return [
    {
      id: 'faults-unseen',
      title: 'Nobody would see these fail',
      note: 'The rest carries on, every pixel white. Check them by hand from time to time.',
      columns: [{ title: 'this' }, { title: 'where' }],
      rows: quiet.map(({ what }): Cell[] => [thingText(what), placeText(what)]),
    },
  ];
}

export function thingText(what: FaultyThing): string {
  switch (what.kind) {
    case 'fuse':
      return `${rating(what.output.fuse?.amps ?? 0)} fuse of ${outputText(what.output)}`;
    case 'port-fuse':
      return `port fuse of ${what.run.controller?.name ?? '?'}.${what.run.port ?? '?'}`;
    case 'feed':
      return `feed ${what.feed.name}`;
    case 'link':
      return `link to ${what.receiver.name}`;
    case 'supply':
      return `supply ${what.supply.name}`;
  }
}

function placeText(what: FaultyThing): string | undefined {
  switch (what.kind) {
    case 'fuse':
      return ownerOf(what.output).place?.name;
    case 'port-fuse':
      return what.run.controller?.place?.name;
    case 'feed':
      return what.feed.from === undefined ? undefined : ownerOf(what.feed.from).place?.name;
    case 'link':
      return what.receiver.link?.from.place?.name;
    case 'supply':
      return what.supply.place?.name;
  }
}

function rangesText({ runs, unsolved }: Fault, which: 'dark' | 'low'): string {
  if (unsolved) return which === 'dark' ? 'no steady state is found' : '';
  return runs
    .flatMap((run) =>
      run[which].length === 0
        ? []
        : [
            `${run.run.name} ${shortRanges(run[which], run.run.pixelCount)}${run.noData && which === 'dark' ? ' no data' : ''}`,
          ],
    )
    .join('; ');
}

function shortRanges(ranges: readonly PixelRange[], pixels: number): string {
  const [only] = ranges;
  if (ranges.length === 1 && only?.from === 1 && only.to === pixels) return '(all)';
  const shown = ranges.slice(0, 4).map(({ from, to }) => (from === to ? `${from}` : `${from}–${to}`));
  return `[${shown.join(', ')}${ranges.length > 4 ? ', …' : ''}]`;
}
