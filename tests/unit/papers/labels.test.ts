import jsqr from 'jsqr';
import { expect, test } from 'vitest';
import { labelSheet } from '#server/papers/labels.ts';
import { analysePlan } from '../../support/plans.ts';
import { SMALL } from '../cli/console.ts';

/** Paints the path of squares that a label draws, four dots a module. */
function painted(svg: string): { data: Uint8ClampedArray; size: number } {
  const [, width] = /viewBox="-4 -4 (\d+)/.exec(svg) ?? [];
  const modules = Number(width);
  const size = modules * 4;
  const data = new Uint8ClampedArray(size * size * 4).fill(255);
  for (const [, x, y, run] of svg.matchAll(/M(\d+) (\d+)h(\d+)/g)) {
    for (let dy = 0; dy < 4; dy++) {
      for (let dx = 0; dx < Number(run) * 4; dx++) {
        const at = (((Number(y) + 4) * 4 + dy) * size + (Number(x) + 4) * 4 + dx) * 4;
        data.fill(0, at, at + 3);
      }
    }
  }
  return { data, size };
}

test('each cable has two labels, and a scanner of another make reads what they say', () => {
  const html = labelSheet({ title: 'Porch', foot: '' }, analysePlan(SMALL).analysis.plan);
  const codes = html.split('<svg').slice(1);
  expect(codes.length).toBe(2);
  const read = codes.map((svg) => {
    const { data, size } = painted(svg);
    return jsqr(data, size, size)?.data;
  });
  expect(read[0]).toMatch(/^[2-9A-Z]{4} porch-feed psu\.1 > porch-edge 10 m pair$/);
  expect(read[1]).toMatch(/^[2-9A-Z]{4} porch-feed porch-edge > psu\.1 10 m pair$/);
  expect(read[0]?.slice(0, 4)).toBe(read[1]?.slice(0, 4));
});
