import { escapeXml } from '../model/escape-xml.ts';
import type { Drawing, Look, Shape } from './shape.ts';

/** A drawing as an SVG element in a page, for paper. Nothing in it comes raw from a plan. */
export function svgOf(drawing: Drawing, more = ''): string {
  const { width, height, title } = drawing;
  const body = drawing.shapes.map(shapeSvg).join('');
  return `<svg${more} class="drawing" viewBox="0 0 ${fix(width)} ${fix(height)}" width="${fix(width)}" height="${fix(height)}" role="img" aria-label="${escapeXml(title)}" font-family="system-ui, sans-serif" font-size="11"><title>${escapeXml(title)}</title>${body}</svg>`;
}

/** For a file of its own. */
export function svgFile(drawing: Drawing): string {
  return `<?xml version="1.0" encoding="UTF-8"?>\n${svgOf(drawing, ' xmlns="http://www.w3.org/2000/svg"')}\n`;
}

function shapeSvg(shape: Shape): string {
  switch (shape.kind) {
    case 'group':
      return `<g><title>${escapeXml(shape.says)}</title>${shape.shapes.map(shapeSvg).join('')}</g>`;
    case 'line':
      return `<line x1="${fix(shape.x1)}" y1="${fix(shape.y1)}" x2="${fix(shape.x2)}" y2="${fix(shape.y2)}" ${STROKES[shape.look]}/>`;
    case 'bar':
      return `<rect x="${fix(shape.x)}" y="${fix(shape.y)}" width="${fix(Math.max(0, shape.width))}" height="${fix(shape.height)}" ${FILLS[shape.look]}/>`;
    case 'path': {
      const points = shape.points.map(([x, y]) => `${fix(x)},${fix(y)}`).join(' ');
      return shape.closed === true
        ? `<polygon points="${points}" ${FILLS[shape.look]}/>`
        : `<polyline points="${points}" fill="none" ${STROKES[shape.look]}/>`;
    }
    case 'label': {
      const anchor = shape.anchor === undefined || shape.anchor === 'start' ? '' : ` text-anchor="${shape.anchor}"`;
      const weight = shape.strong === true ? ' font-weight="600"' : '';
      return `<text x="${fix(shape.x)}" y="${fix(shape.y)}"${anchor}${weight} fill="${INKS[shape.look]}">${escapeXml(shape.text)}</text>`;
    }
  }
}

/** Dark on white; nothing is told by colour alone, since many printers have none. */
const INKS: Readonly<Record<Look, string>> = {
  ink: '#1c2226',
  faint: '#66717a',
  power: '#9a3b1c',
  data: '#1f5f8b',
  string: '#1c2226',
  box: '#1c2226',
  limit: '#8a5a00',
  low: '#a01818',
  over: '#a01818',
  other: '#66717a',
};

const stroke = (colour: string, width: number, dash = '') =>
  `stroke="${colour}" stroke-width="${width}"${dash === '' ? '' : ` stroke-dasharray="${dash}"`}`;

const STROKES: Readonly<Record<Look, string>> = {
  ink: stroke(INKS.ink, 1.2),
  faint: stroke('#aab2b8', 0.7),
  power: stroke(INKS.power, 1.8),
  data: stroke(INKS.data, 1.4),
  string: stroke(INKS.string, 1.2),
  box: stroke(INKS.box, 1),
  limit: stroke(INKS.limit, 1.1, '5 3'),
  low: stroke(INKS.low, 3.2),
  over: stroke(INKS.over, 3.2),
  other: stroke(INKS.other, 1, '2 2'),
};

const FILLS: Readonly<Record<Look, string>> = {
  ink: `fill="${INKS.ink}"`,
  faint: 'fill="#d5dadd"',
  power: `fill="${INKS.power}"`,
  data: `fill="${INKS.data}"`,
  string: `fill="#eef1f2" ${stroke(INKS.ink, 1)}`,
  box: `fill="#fff" ${stroke(INKS.ink, 1)}`,
  limit: `fill="${INKS.limit}"`,
  low: `fill="${INKS.low}"`,
  over: `fill="${INKS.over}"`,
  other: `fill="${INKS.other}"`,
};

function fix(value: number): string {
  return String(Math.round(value * 10) / 10);
}
