import { sure } from '#grammar/sure.ts';
import { unitOf } from '../model/fixtures.ts';
import { outputText } from '../model/outputs.ts';
import type { Piece, Plan, Run } from '../model/plan.ts';
import { portName } from '../model/port-of.ts';
import { count, type LengthUnits, metres, volts } from '../model/texts.ts';
import { cablesOf, isCut } from './cable-list.ts';
import type { Paper, Step } from './paper.ts';

/** What to do first and what last, in the plan's own names. */
export function orderOfWork(plan: Plan): Paper {
  return {
    id: 'work',
    title: 'Order of work',
    intro: 'On the bench first, then on the ground, then up the ladder. Power comes last.',
    tables: [],
    steps: [
      benchSteps(plan),
      mainsSteps(plan),
      boxSteps(plan),
      cableSteps(plan),
      ...hangingSteps(plan),
      joiningSteps(plan),
    ].filter(({ items }) => items.length > 0),
  };
}

function benchSteps(plan: Plan): Step {
  const cables = cablesOf(plan);
  const cuts = cables.filter(isCut).length;
  const made = cables.filter(({ kind }) => kind === 'ribbon' || kind === 'extension').length;
  return {
    title: 'On the bench',
    items: [
      'Light every string once, all colours, before it leaves the bench.',
      ...(cuts > 0 ? [`Cut ${count(cuts, 'cable')} by the cut list. Label both ends of each at once.`] : []),
      ...(made > 0
        ? [`Label both ends of ${count(made, 'ribbon or extension lead', 'ribbons and extension leads')}.`]
        : []),
      ...[...plan.supplies.values()].map(
        (supply) =>
          `Set ${supply.name} to ${supply.volts === undefined ? 'its nominal voltage' : volts(supply.volts.value)}, measured with nothing connected.`,
      ),
    ],
  };
}

function mainsSteps(plan: Plan): Step {
  return {
    title: 'Mains, by a licensed electrician and to local codes',
    items: [...plan.circuits.values()].map((circuit) => {
      const supplies = [...plan.supplies.values()].filter((supply) => supply.circuit === circuit);
      const at = circuit.place === undefined ? '' : ` at ${circuit.place.label ?? circuit.place.name}`;
      return `Circuit ${circuit.name}${at}: residual-current device tested, off. It will serve ${supplies.map(({ name }) => name).join(', ') || 'nothing yet'}.`;
    }),
  };
}

function boxSteps(plan: Plan): Step {
  const items = [...plan.places.values()].flatMap((place) => {
    const here = [...plan.supplies.values(), ...plan.boards.values(), ...plan.controllers.values()].filter(
      (thing) => thing.place === place,
    );
    if (here.length === 0) return [];
    return [
      `${place.label ?? place.name}: hang the box with ${here.map(({ name }) => name).join(', ')}. All fuses out.`,
    ];
  });
  return { title: 'Boxes', items };
}

function cableSteps(plan: Plan): Step {
  const laid = cablesOf(plan)
    .filter(({ path }) => path.length > 1)
    .sort((a, b) => b.metres - a.metres);
  return {
    title: 'Cables along the ways, longest first',
    items: laid.map(
      ({ code, owner, path, metres: length, parallel }) =>
        `${code}: ${path.map(({ name }) => name).join(' – ')}, ${metres(length, plan.design.units)}${parallel > 1 ? ` x ${parallel}` : ''}, for ${owner}. Drip loop at both ends.`,
    ),
  };
}

function hangingSteps(plan: Plan): Step[] {
  return [...plan.runs.values()].map((run) => ({
    title: `Run ${run.name}${run.label === undefined ? '' : `, ${run.label}`}, in data order`,
    items: runItems(plan, run),
  }));
}

function runItems(plan: Plan, run: Run): string[] {
  const { units } = plan.design;
  const items: string[] = [];
  for (let index = 0; index < run.pieces.length; index++) {
    const piece = sure(run.pieces[index]);
    if (piece.kind === 'lead') {
      const port = portName(run);
      items.push(`Lead ${metres(piece.length, units)} of ${piece.cable.name} from port ${port}.`);
    } else if (piece.kind === 'gap') {
      const cable = piece.cable === undefined ? '' : ` of ${piece.cable.name}`;
      if (!piece.bare) items.push(`Gap of ${metres(piece.length, units)}${cable}.`);
    } else if (piece.kind === 'cut') {
      items.push('CUT V+ here: two supplies must not meet. Ground and data go on.');
    } else {
      const last = lastOf(run.pieces, index);
      items.push(stringItem(run.pieces.slice(index, last + 1), units));
      index = last;
    }
  }
  return items;
}

/** Where the strands of one line, or all copies of one prop, end. */
function lastOf(pieces: readonly Piece[], start: number): number {
  const first = pieces[start];
  let last = start;
  for (let index = start + 1; index < pieces.length; index++) {
    const piece = pieces[index];
    if (piece?.kind === 'gap') continue;
    if (piece?.kind !== 'string' || first?.kind !== 'string') break;
    const isSame =
      first.copies === undefined
        ? piece.line === first.line && piece.strand > 1
        : piece.copies?.name === first.copies.name;
    if (!isSame) break;
    last = index;
  }
  return last;
}

function stringItem(pieces: readonly Piece[], units: LengthUnits): string {
  const strings = pieces.filter((piece) => piece.kind === 'string');
  const [first, last] = [sure(strings[0]), sure(strings.at(-1))];
  const { line, copies } = first;
  const unit = unitOf(first.part);
  if (unit !== 'pixel') {
    const data = unit === 'panel' ? ' Ribbon from panel to panel in this order; a power plug on each.' : '';
    return `${first.element ?? line.keyword}: ${count(line.strands, unit)} of ${first.part.name}.${data}`;
  }
  const pixels = `pixels ${first.first} to ${last.first + last.count - 1}. Mind the arrow: data in first.`;
  if (copies !== undefined) {
    const between = pieces.find((piece) => piece.kind === 'gap' && !piece.bare);
    const gaps = between?.kind === 'gap' ? `, ${metres(between.length, units)} between` : '';
    return `${copies.name}: ${sure(last.copies).number} one after the other${gaps}, ${pixels}`;
  }
  const size = line.strands > 1 ? `${line.strands} strands of ${line.perStrand} px` : `${first.count} px`;
  return `${first.element ?? line.keyword}: ${size} of ${first.part.name}, ${pixels}`;
}

function joiningSteps(plan: Plan): Step {
  const bonds = [...plan.bonds.values()].map(
    (bond) => `Join the grounds of ${bond.from.name} and ${bond.to.name} (${bond.name}).`,
  );
  const feeds = [...plan.feeds.values()].map((feed) => {
    const taps = feed.pieces.flatMap((piece) => (piece.kind === 'tap' ? [piece.tap.text] : []));
    const from = feed.from === undefined ? '?' : outputText(feed.from);
    return `Feed ${feed.name}: ${from} to ${taps.join(', ')}. Fuse still out.`;
  });
  return { title: 'Grounds first, then feeds', items: [...bonds, ...feeds] };
}
