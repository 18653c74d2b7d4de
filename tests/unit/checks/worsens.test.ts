import { expect, test } from 'vitest';
import { readSource } from '#grammar/source.ts';
import { worsens } from '#server/checks/worsens.ts';
import type { Finding } from '#server/model/finding.ts';

const [declaration] = readSource('file:///plan.festoon', 'plan').declarations;
const origin = {
  uri: 'file:///plan.festoon',
  declaration: declaration as NonNullable<typeof declaration>,
  start: 0,
  end: 4,
};

const finding = (code: string, subject: string, more: Partial<Finding> = {}): Finding => ({
  code,
  subject,
  origin,
  message: '',
  related: [],
  fixes: [],
  ...more,
});

test('nothing is worse when the same or less is found', () => {
  const low = finding('low-voltage', 'eaves', { excess: 0.05 });
  expect(worsens([low], [low])).toBe(false);
  expect(worsens([low], [])).toBe(false);
  expect(worsens([low], [{ ...low, excess: 0.02 }])).toBe(false);
});

test('it is worse when something new is found, or the same once more', () => {
  const low = finding('low-voltage', 'eaves');
  expect(worsens([], [low])).toBe(true);
  expect(worsens([low], [finding('low-voltage', 'gable')])).toBe(true);
  expect(worsens([low], [low, low])).toBe(true);
});

test('it is worse when the same lies further beyond its limit, or has become an error', () => {
  const full = finding('supply-overloaded', 'psu', { level: 'warning', excess: 0.02 });
  expect(worsens([full], [{ ...full, excess: 0.2 }])).toBe(true);
  expect(worsens([full], [{ ...full, level: 'error' }])).toBe(true);
});
