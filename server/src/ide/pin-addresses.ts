import type { Analysis } from '../analysis/analysis.ts';
import { addressesOf, type RunAddress } from '../model/addresses.ts';
import type { Edit, Origin } from '../model/finding.ts';
import { count } from '../model/texts.ts';
import { spanOf } from './file-span.ts';

/** Addresses written down as they are reckoned. */
export interface Pinning {
  readonly title: string;
  readonly edits: readonly Edit[];
}

/**
 * What has been typed into a controller and a show should stay where it is when a prop before it grows: the address of the
 * run at an offset can be pinned where it lies, and those of all runs of its controller, or of the controller at the offset.
 */
export function pinningsAt(analysis: Analysis, uri: string, offset: number): Pinning[] {
  const isHere = (whole: Origin) => {
    const span = spanOf(analysis, { ...whole, end: headEnd(whole) });
    return span !== undefined && span.uri === uri && span.start <= offset && offset <= span.end;
  };
  const loose = [...addressesOf(analysis.plan).values()].filter(({ isPinned }) => !isPinned);
  const own = loose.find(({ run }) => isHere(run.whole));
  const controller = own?.controller ?? [...analysis.plan.controllers.values()].find(({ whole }) => isHere(whole));
  const its = loose.filter((address) => address.controller === controller);
  const pinnings: Pinning[] = [];
  if (own !== undefined)
    pinnings.push({ title: `Pin ${own.run.name} where it is: ${startOf(own)}`, edits: pins([own]) });
  if (its.length > 1)
    pinnings.push({
      title: `Pin all ${count(its.length, 'run')} of ${controller?.name} where they are`,
      edits: pins(its),
    });
  return pinnings.filter(({ edits }) => keepsAddresses(analysis, edits));
}

const pins = (addresses: readonly RunAddress[]) => addresses.map(pin);

/** Behind the last word in front of the block. */
function pin(address: RunAddress): Edit {
  const { whole } = address.run;
  const end = headEnd(whole);
  return { origin: { ...whole, start: end, end }, text: `  ${startOf(address)}` };
}

/** "universe 3 slot 151", as a plan says it; the first slot goes without saying. */
function startOf({ spans: [first] }: RunAddress): string {
  return `universe ${first?.universe}${first?.slot === 1 ? '' : ` slot ${first?.slot}`}`;
}

function headEnd({ declaration, start, end }: Origin): number {
  const statement = declaration.statements.find(({ span }) => span.start === start);
  return statement?.items.at(-1)?.span.end ?? end;
}

/** Every run has the slots that it had, and nothing new is wrong. */
function keepsAddresses({ plan, findings, preview }: Analysis, edits: readonly Edit[]): boolean {
  const after = preview(edits);
  if (after.findings.length > findings.length) return false;
  const now = new Map([...addressesOf(after.plan).values()].map((address) => [address.run.name, address]));
  return [...addressesOf(plan).values()].every(({ run, from, to }) => {
    const other = now.get(run.name);
    return other?.from === from && other.to === to;
  });
}
