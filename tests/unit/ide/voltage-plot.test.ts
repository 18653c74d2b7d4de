import { describe, expect, it } from 'vitest';
import { voltagePlot } from '#server/ide/voltage-plot.ts';
import { escapeXml } from '#server/model/escape-xml.ts';

/** A sag that is steep at first and level at the end, as along a run that is fed at its start. */
const bent = Float64Array.from({ length: 100 }, (_, index) => 10 + 2 * (1 - index / 99) ** 2);

const sag = (count: number) => Float64Array.from({ length: count }, (_, index) => 12 - (2 * index) / count);

function plot(overrides: Partial<Parameters<typeof voltagePlot>[0]> = {}) {
  const found = voltagePlot({
    name: 'eaves',
    volts: sag(100),
    limits: [{ first: 1, volts: 10.8 }],
    taps: [{ pixel: 1, name: 'box.1' }],
    ...overrides,
  });
  if (found === undefined) throw new Error('no plot');
  return found;
}

/** Points of the curve, as drawn. */
function curve(svg: string): { x: number; y: number }[] {
  const points = /<polyline points="([^"]*)"/.exec(svg)?.[1] ?? '';
  return points.split(' ').map((pair) => {
    const [x = Number.NaN, y = Number.NaN] = pair.split(',').map(Number);
    return { x, y };
  });
}

describe('the plot of voltage along a run', () => {
  it('falls where the voltage falls, from left to right inside its frame', () => {
    const points = curve(plot({ volts: bent }).svg);
    for (const [index, point] of points.entries()) {
      const before = points[index - 1];
      if (before !== undefined) expect(point.x > before.x && point.y > before.y).toBe(true);
      expect(point.x >= 0 && point.x <= 420 && point.y >= 0 && point.y <= 130).toBe(true);
    }
  });

  it('has corners only where the voltage bends, and passes the voltage of every pixel', () => {
    expect(curve(plot().svg)).toHaveLength(2);
    const points = curve(plot({ volts: bent }).svg);
    expect(points.length).toBeLessThan(30);
    // Both axes are even, so the ends say where every pixel stands.
    const ends = [points[0], points.at(-1)] as [{ x: number; y: number }, { x: number; y: number }];
    const between = (a: number, b: number, part: number) => a + (b - a) * part;
    const fall = (bent[0] ?? 0) - (bent[99] ?? 0);
    for (const [index, volts] of bent.entries()) {
      const x = between(ends[0].x, ends[1].x, index / 99);
      const y = between(ends[0].y, ends[1].y, ((bent[0] ?? 0) - volts) / fall);
      const to = Math.max(
        1,
        points.findIndex((point) => point.x >= x - 0.06),
      );
      const [left, right] = [points[to - 1] ?? ends[0], points[to] ?? ends[1]];
      // A tenth of the curve's thickness, and what the corners are rounded by.
      expect(Math.abs(between(left.y, right.y, (x - left.x) / (right.x - left.x)) - y)).toBeLessThan(0.35);
    }
  });

  it('draws what lies below the limit once more, thick', () => {
    const { svg } = plot();
    const [, thick = ''] = /<polyline points="([^"]*)"[^>]*stroke-width="3.2"/.exec(svg) ?? [];
    // 12 V - 2 V x i / 100 is below 10.8 V for i = 61 to 99; the frame is 364 wide from 44 on for 99 steps.
    expect(thick.split(' ').map((pair) => Number(pair.split(',')[0]))).toEqual([
      44 + Math.round((3640 * 61) / 99) / 10,
      408,
    ]);
    expect(plot({ limits: [{ first: 1, volts: 9 }] }).svg).not.toContain('stroke-width="3.2"');
  });

  it('begins and ends where the run does, also where the ends are neither low nor high', () => {
    // Groups of points keep their least and greatest ones, of which the ends are none here.
    const volts = Float64Array.from({ length: 1000 }, (_, index) => [11, 10, 12, 11][index % 4] ?? 0);
    const points = curve(plot({ volts }).svg);
    const all = curve(plot({ volts: volts.subarray(0, 100) }).svg);
    const [first, last] = [points[0], points.at(-1)];
    expect(first).toEqual(all[0]);
    expect(last).toEqual(all.at(-1));
  });

  it('keeps the deepest dip of a long run, with few points', () => {
    const volts = Float64Array.from({ length: 100_000 }, (_, index) => (index === 77_777 ? 3 : 12));
    const { svg, alt } = plot({ volts });
    const points = curve(svg);
    expect(points.length).toBeLessThan(400);
    expect(svg.length).toBeLessThan(20_000);
    expect(points.filter(({ y }) => y > 80)).toHaveLength(1);
    expect(alt).toContain('least 3.00 V at pixel 77778');
  });

  it('marks every tap and names it', () => {
    const { svg, alt } = plot({
      taps: [
        { pixel: 1, name: 'box.1' },
        { pixel: 51, name: 'eaves[51]' },
      ],
    });
    expect(svg.match(/<path d="M[\d.]+ 111l/g)).toEqual([
      '<path d="M44 111l',
      `<path d="M${44 + Math.round((3640 * 50) / 99) / 10} 111l`,
    ]);
    expect(alt).toContain('power comes in at box.1, eaves[51]');
  });

  it('shows a limit that changes along the run', () => {
    const { svg, alt } = plot({
      limits: [
        { first: 1, volts: 10.8 },
        { first: 50, volts: 4.5 },
      ],
    });
    expect(svg.match(/stroke-dasharray/g)).toHaveLength(2);
    expect(alt).toContain('needs 10.8 V or 4.5 V');
  });

  it('can be drawn for one pixel, for level voltage and for nothing', () => {
    for (const volts of [[12], [0], [12, 12, 12]]) expect(plot({ volts }).svg).not.toMatch(/NaN|Infinity/);
    expect(voltagePlot({ name: 'x', volts: [], limits: [], taps: [] })).toBeUndefined();
    expect(voltagePlot({ name: 'x', volts: [Number.NaN], limits: [], taps: [] })).toBeUndefined();
  });

  it('lets no text of a plan become markup', () => {
    const { svg } = plot({ name: '"><script>', taps: [{ pixel: 1, name: `</title><image href='x'>&\u0000` }] });
    expect(svg).not.toMatch(/<script|<image|'x'|\u0000/);
    expect(escapeXml('a<b>&"\'\ud800')).toBe('a&#60;b&#62;&#38;&#34;&#39;');
  });

  it('is legible on dark and light ground: every colour stands out from both at least 3 to 1', () => {
    // WCAG 2.1, success criterion 1.4.11; luminance by its formula.
    const { svg } = plot();
    const colours = new Set(svg.match(/#[0-9a-f]{6}/g));
    expect(colours.size).toBeGreaterThan(1);
    for (const colour of colours) {
      expect(contrast(colour, '#ffffff')).toBeGreaterThanOrEqual(3);
      expect(contrast(colour, '#1f1f1f')).toBeGreaterThanOrEqual(3);
    }
  });
});

function contrast(a: string, b: string): number {
  const [light = 0, dark = 0] = [luminance(a), luminance(b)].sort((x, y) => y - x);
  return (light + 0.05) / (dark + 0.05);
}

function luminance(colour: string): number {
  const [red = 0, green = 0, blue = 0] = [1, 3, 5].map((at) => {
    const part = Number.parseInt(colour.slice(at, at + 2), 16) / 255;
    return part <= 0.03928 ? part / 12.92 : ((part + 0.055) / 1.055) ** 2.4;
  });
  return 0.2126 * red + 0.7152 * green + 0.0722 * blue;
}
