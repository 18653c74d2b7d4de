import { expect, test } from 'vitest';
import { fixAll } from '#server/ide/fixes.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';

const plan = (count: string) => `use "bench.festoon"
run row  from box.1 {
  string ${count} px  of steady-12  every 50 mm
}
`;

test('a comma before three digits may be a thousand: both are offered, neither is chosen', () => {
  const { analysis } = analysePlan(plan('1,000'));
  const found = analysis.findings.find(({ code }) => code === 'decimal-comma');
  expect(found?.fixes.map(({ title, preferred }) => [title, preferred])).toEqual([
    ['Write 1000', false],
    ['Write 1.000', false],
  ]);
  expect(fixAll(analysis, MAIN)).toEqual([]);
});

test('any other comma is a decimal', () => {
  const { analysis } = analysePlan(plan('1,5'));
  const found = analysis.findings.find(({ code }) => code === 'decimal-comma');
  expect(found?.fixes.map(({ title, preferred }) => [title, preferred])).toEqual([['Write 1.5', true]]);
  expect(fixAll(analysis, MAIN).map(({ text }) => text)).toEqual(['1.5']);
});
