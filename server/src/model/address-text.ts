import { sure } from '#grammar/sure.ts';
import type { AddressSpan, RunAddress } from './addresses.ts';
import { grouped } from './texts.ts';

/** An address as it is typed into a controller: "universe 7 slot 1 to universe 8 slot 90". */
export function addressText({ spans }: RunAddress): string {
  const [first, last] = [sure(spans[0]), sure(spans.at(-1))];
  const end = last.slot + last.slots - 1;
  return first.universe === last.universe
    ? `universe ${universeText(first)} slots ${first.slot} to ${end}`
    : `universe ${universeText(first)} slot ${first.slot} to universe ${universeText(last)} slot ${end}`;
}

function universeText({ universe }: AddressSpan): string {
  return grouped(universe);
}
