import qrcode from 'qrcode-generator';
import type { Plan } from '../model/plan.ts';
import { finish, type Steps } from '../model/steps.ts';
import { metres } from '../model/texts.ts';
import { type CableEnd, type CableItem, cablesOf } from './cable-list.ts';
import { escapeHtml, page, type SheetHead } from './html.ts';

/**
 * A sheet of labels, one for each end of every cable: the code large enough to read from a ladder, what hangs here, what
 * hangs at the other end, and the same as a scannable code (ISO/IEC 18004).
 */
export function labelSheet(head: SheetHead, plan: Plan): string {
  return finish(labelSteps(head, plan));
}

/** The same in steps, a cable each: a scannable code takes a millisecond. */
export function* labelSteps(head: SheetHead, plan: Plan): Steps<string> {
  const labels: string[] = [];
  for (const cable of cablesOf(plan)) {
    if (cable.part === undefined && cable.kind !== 'extension') continue;
    labels.push(label(plan, cable, cable.from, cable.to), label(plan, cable, cable.to, cable.from));
    yield;
  }
  const intro = `<header class="screen"><h1>Labels: ${escapeHtml(head.title)}</h1>
<p>Two for each cable, one for each end. Print at full size, cut along the lines, cover with clear tape: a bare print does not outlive the first rain.</p></header>`;
  return page(`Labels: ${head.title}`, `${intro}\n<div class="labels">\n${labels.join('\n')}\n</div>`, STYLE);
}

function label(plan: Plan, cable: CableItem, here: CableEnd, there: CableEnd): string {
  const length = metres(cable.metres, plan.design.units);
  const doubled = cable.parallel > 1 ? ` x ${cable.parallel}` : '';
  const said = `${cable.code} ${cable.owner} ${here.text} > ${there.text} ${length} ${cable.part?.name ?? ''}${doubled}`;
  return `<div class="label">${scannable(said)}<div><b>${escapeHtml(cable.code)}</b> <span>${escapeHtml(cable.owner)}</span>
<p class="here">${escapeHtml(place(here))}</p>
<p>to ${escapeHtml(place(there))}</p>
<p class="small">${escapeHtml(`${length} ${cable.part?.label ?? cable.part?.name ?? ''}${doubled}`)}</p></div></div>`;
}

function place(end: CableEnd): string {
  return end.place === undefined ? end.text : `${end.text} (${end.place.name})`;
}

/** Beyond this many characters a code gets too fine to scan from a label of this size. */
const MOST_SCANNED = 120;

/** One path of squares, so that the sheet stays small; error correction M restores about 15 %. */
function scannable(text: string): string {
  const code = qrcode(0, 'M');
  code.addData(ascii(text).slice(0, MOST_SCANNED));
  code.make();
  const size = code.getModuleCount();
  let path = '';
  for (let row = 0; row < size; row++) {
    for (let column = 0; column < size; column++) {
      if (!code.isDark(row, column)) continue;
      let run = 1;
      while (column + run < size && code.isDark(row, column + run)) run++;
      path += `M${column} ${row}h${run}v1h-${run}z`;
      column += run - 1;
    }
  }
  // Four light modules on each side belong to the symbol.
  return `<svg viewBox="-4 -4 ${size + 8} ${size + 8}" shape-rendering="crispEdges" role="img" aria-label="${escapeHtml(text)}"><path d="${path}"/></svg>`;
}

/** Old scanners guess at anything beyond ASCII. */
function ascii(text: string): string {
  return text
    .normalize('NFKD')
    .replace(/\p{M}/gu, '')
    .replace(/[^\x20-\x7e]/g, '?');
}

const STYLE = `body { max-width: none; padding: 0 }
.screen { padding: 4mm }
.labels { display: grid; grid-template-columns: repeat(3, 60mm); justify-content: center }
.label { display: grid; grid-template-columns: 20mm 1fr; gap: 2mm; height: 29mm; padding: 2mm; border: .3pt dashed #7d878e; overflow: hidden; break-inside: avoid; font-size: 7.5pt; line-height: 1.25 }
.label svg { width: 20mm; height: 20mm }
.label b { font-size: 14pt; letter-spacing: .04em }
.label p { margin: 0; overflow-wrap: anywhere }
.label .here { font-weight: 600 }
.label .small { color: #55606a }
@media print { .screen { display: none } }
`;
