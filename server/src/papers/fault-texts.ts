import { sure } from '#grammar/sure.ts';
import type { Account } from '../model/account.ts';
import { blownAlready, type Fault, type FaultyThing, type PixelRange } from '../model/faults.ts';
import { outputText, ownerOf } from '../model/outputs.ts';
import { portName } from '../model/port-of.ts';
import { amps, rating, volts } from '../model/texts.ts';

/** What a fault is called and what follows from it, in the same words on paper and on the terminal. */

export const FAULT_TITLES = {
  thing: 'if this fails',
  dark: 'these go dark',
  dim: 'these go dim',
  blown: 'and then blow',
} as const;

/** Said where nothing would be seen of a fault. */
export const UNSEEN = 'every pixel stays white';

/** "5 A fuse of psu-a.1" */
export function thingText(what: FaultyThing): string {
  switch (what.kind) {
    case 'fuse':
      return `${rating(sure(what.output.fuse).amps)} fuse of ${outputText(what.output)}`;
    case 'port-fuse':
      return `port fuse of ${portName(what.run)}`;
    case 'feed':
      return `feed ${what.feed.name}`;
    case 'link':
      return `link to ${what.receiver.name}`;
    case 'supply':
      return `supply ${what.supply.name}`;
  }
}

/** Where to look. */
export function placeText(what: FaultyThing): string | undefined {
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

/** Run by run: "eaves (all), no data", "eaves [51–150], down to 9.87 V"; and the fuses that blow one after the other. */
export function effectsOf({ runs, blown, unsolved }: Fault): Readonly<Record<'dark' | 'dim' | 'blown', string[]>> {
  if (unsolved) return { dark: ['no steady state is found'], dim: [], blown: [] };
  return {
    dark: runs.flatMap(({ run, dark, noData }) =>
      dark.length === 0 ? [] : [`${run.name} ${rangesText(dark, run.pixelCount)}${noData ? ', no data' : ''}`],
    ),
    dim: runs.flatMap(({ run, low, leastVolts }) =>
      low.length === 0 ? [] : [`${run.name} ${rangesText(low, run.pixelCount)}, down to ${volts(leastVolts)}`],
    ),
    blown: blown.map((output) => outputText(output)),
  };
}

const MOST_RANGES = 4;

function rangesText(ranges: readonly PixelRange[], pixels: number): string {
  const [only] = ranges;
  if (ranges.length === 1 && only?.from === 1 && only.to === pixels) return '(all)';
  const shown = ranges.slice(0, MOST_RANGES).map(({ from, to }) => (from === to ? `${from}` : `${from}–${to}`));
  return `[${shown.join(', ')}${ranges.length > MOST_RANGES ? ', …' : ''}]`;
}

/** What blows with nothing failed: all else is reckoned as if those fuses held. */
export function alreadyTexts(account: Account): string[] {
  return blownAlready(account).map(
    ({ output, amps: load, rated }) =>
      `The ${rating(rated)} fuse of ${outputText(output)} carries ${amps(load)} and blows with nothing failed.`,
  );
}
