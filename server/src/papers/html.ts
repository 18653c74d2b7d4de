import { sure } from '#grammar/sure.ts';
import { svgOf } from '../drawing/svg.ts';
import { CAUTIONS } from './cautions.ts';
import type { Cell, Column, Paper, Step, Table } from './paper.ts';

/** What stands on top of every sheet. */
export interface SheetHead {
  readonly title: string;
  /** The program that printed it, and the day where one was given. */
  readonly foot: string;
}

/**
 * One self-contained page of HTML that prints on A4 and on Letter: no script, nothing fetched, the same bytes for the same
 * plan. */
export function htmlReport(head: SheetHead, papers: readonly Paper[]): string {
  const contents = papers.map(({ id, title }) => `<li><a href="#${id}">${escapeHtml(title)}</a></li>`).join('\n');
  const sheets = papers.map((paper) => sheet(head, paper)).join('\n');
  return page(
    head.title,
    `<header><h1>${escapeHtml(head.title)}</h1>\n<ol class="contents">\n${contents}\n</ol>\n${cautions()}</header>\n${sheets}`,
  );
}

/** A complete document around a body that was built here. */
export function page(title: string, body: string, style = ''): string {
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; img-src data:">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>${escapeHtml(title)}</title>
<style>
${STYLE}${style}</style>
</head>
<body>
${body}
</body>
</html>
`;
}

function sheet(head: SheetHead, paper: Paper): string {
  const drawings = (paper.drawings ?? []).map((drawing) => `<figure>${svgOf(drawing)}</figure>`).join('\n');
  const tables = paper.tables.map(tableHtml).join('\n');
  const steps = (paper.steps ?? []).map(stepHtml).join('\n');
  return `<section id="${paper.id}">
<div class="sheet"><h2>${escapeHtml(paper.title)} <small>${escapeHtml(head.title)}</small></h2>
<p class="intro">${escapeHtml(paper.intro)}</p>
${drawings}${tables}${steps}</div>
<footer>${cautions()}<p>${escapeHtml(head.foot)}</p></footer>
</section>`;
}

function cautions(): string {
  return `<p class="cautions">${CAUTIONS.map(escapeHtml).join(' ')}</p>`;
}

function stepHtml({ title, items }: Step): string {
  const list = items.map((item) => `<li>${escapeHtml(item)}</li>`).join('\n');
  return `<h3>${escapeHtml(title)}</h3>\n<ul class="ticks">\n${list}\n</ul>`;
}

/** Tables up to this size are not torn over two pages. */
const SHORT_ROWS = 14;

function tableHtml({ title, note, columns, rows, sum }: Table): string {
  const head = columns.map((column) => `<th scope="col"${classOf(column)}>${escapeHtml(column.title)}</th>`).join('');
  const body = rows
    .map((row) => `<tr>${columns.map((column, index) => cellHtml(column, row[index])).join('')}</tr>`)
    .join('\n');
  const foot =
    sum === undefined
      ? ''
      : `\n<tfoot><tr>${columns.map((column, index) => cellHtml({ ...column, blank: false }, sum[index])).join('')}</tr></tfoot>`;
  const isShort = rows.length <= SHORT_ROWS;
  return `<div class="table${isShort ? ' short' : ''}">${title === undefined ? '' : `<h3>${escapeHtml(title)}</h3>\n`}${note === undefined ? '' : `<p>${escapeHtml(note)}</p>\n`}<table>
<thead><tr>${head}</tr></thead>
<tbody>
${body}
</tbody>${foot}
</table></div>`;
}

function classOf({ align, blank }: Column): string {
  const classes = [align === 'right' ? 'right' : '', blank === true ? 'blank' : ''].filter((name) => name !== '');
  return classes.length === 0 ? '' : ` class="${classes.join(' ')}"`;
}

function cellHtml(column: Column, cell: Cell): string {
  const text = cell === undefined ? '' : typeof cell === 'string' ? cell : cell.text;
  return `<td${classOf(column)}>${escapeHtml(text)}</td>`;
}

/** Marks that turn the direction of writing or cannot be seen are shown by their number, as on the terminal. */
const HIDDEN = /[\p{Cc}\p{Zl}\p{Zp}\p{Cs}\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069\ufeff]/gu;

export function escapeHtml(text: string): string {
  return text
    .replace(HIDDEN, (mark) => `<U+${sure(mark.codePointAt(0)).toString(16).toUpperCase().padStart(4, '0')}>`)
    .replaceAll('&', '&amp;')
    .replaceAll('<', '&lt;')
    .replaceAll('>', '&gt;')
    .replaceAll('"', '&quot;');
}

const STYLE = `@page { margin: 14mm }
* { box-sizing: border-box }
body { font: 10.5pt/1.4 system-ui, "Segoe UI", "Helvetica Neue", Arial, sans-serif; color: #1c2226; background: #fff; margin: 0 auto; max-width: 190mm; padding: 6mm }
h1 { font-size: 22pt; margin: 0 0 4mm }
h2 { font-size: 15pt; margin: 0 0 2mm; padding-bottom: 1mm; border-bottom: 1.5pt solid #1c2226; display: flex; justify-content: space-between; align-items: baseline; gap: 6mm }
h2 small { font-size: 9pt; font-weight: 400; color: #55606a }
h3 { font-size: 11pt; margin: 5mm 0 1mm; break-after: avoid }
p { margin: 0 0 2mm }
.intro { max-width: 150mm }
section { break-before: page; padding-top: 4mm }
table { border-collapse: collapse; width: 100%; font-size: 9.5pt; font-variant-numeric: tabular-nums }
thead { display: table-header-group }
tr { break-inside: avoid }
th { text-align: left; font-weight: 600; border-bottom: 1pt solid #1c2226; padding: 1mm 2mm 1mm 0; vertical-align: bottom }
td { border-bottom: .4pt solid #aab2b8; padding: 1mm 2mm 1mm 0; vertical-align: top }
tfoot { display: table-row-group }
tfoot td { font-weight: 600; border-bottom: 0 }
.right { text-align: right; white-space: nowrap }
th.right + th:not(.right), td.right + td:not(.right) { padding-left: 3mm }
th.blank, td.blank { min-width: 13mm; border-left: .4pt solid #aab2b8; padding-left: 2mm }
.table { margin-bottom: 4mm }
.table.short { break-inside: avoid }
.ticks { list-style: none; margin: 0; padding: 0 }
.ticks li { padding: 1mm 0 1mm 7mm; position: relative; break-inside: avoid; border-bottom: .4pt solid #d5dadd }
.ticks li::before { content: ""; position: absolute; left: 0; top: 1.6mm; width: 3.4mm; height: 3.4mm; border: .8pt solid #1c2226 }
.cautions { font-size: 8.5pt; color: #55606a; max-width: 170mm }
footer { margin-top: 4mm; font-size: 8.5pt; color: #55606a }
figure { margin: 0 0 4mm; break-inside: avoid }
svg { max-width: 100%; height: auto }
a { color: inherit }
/* A printed sheet is a table whose foot, with the cautions, comes again at the end of each of its pages. */
@media print {
  section { display: table; width: 100% }
  .sheet { display: table-row-group }
  footer { display: table-footer-group; break-inside: avoid }
}
`;
