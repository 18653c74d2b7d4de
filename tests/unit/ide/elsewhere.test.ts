import { expect, it } from 'vitest';
import { completeAt } from '#server/ide/completion/complete.ts';
import { previewCable } from '#server/ide/completion/preview-cable.ts';
import { definitionAt, typeDefinitionAt } from '#server/ide/definition.ts';
import { powerItemAt, suppliedBy, suppliersOf } from '#server/ide/feed-hierarchy.ts';
import { fixAll, remediesAt } from '#server/ide/fixes.ts';
import { hoverAt } from '#server/ide/hover.ts';
import { inlayHintsOf } from '#server/ide/inlay-hints.ts';
import { lensesOf } from '#server/ide/lenses.ts';
import { linksOf } from '#server/ide/links.ts';
import { problemsOf } from '#server/ide/problems.ts';
import { refactorsAt } from '#server/ide/refactors.ts';
import { mentionsAt } from '#server/ide/references.ts';
import { renameTargetAt } from '#server/ide/rename.ts';
import { semanticTokensOf } from '#server/ide/semantic-tokens.ts';
import { signatureAt } from '#server/ide/signature.ts';
import { DISPLAY } from '../../support/display.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';

const { analysis } = analysePlan(DISPLAY);

/** An editor may ask about a file that was closed, deleted or taken out of the plan a moment before. */
it('has nothing to say of a file that is no part of the plan', () => {
  const gone = 'file:///display/gone.festoon';
  const span = { start: 0, end: 10 };
  for (const ask of [
    hoverAt,
    completeAt,
    definitionAt,
    typeDefinitionAt,
    signatureAt,
    powerItemAt,
    (...[plan, uri, offset]: Parameters<typeof hoverAt>) => previewCable(plan, uri, offset, 'garden-2.5'),
  ])
    expect(ask(analysis, gone, 4), ask.name).toBeUndefined();
  for (const list of [
    inlayHintsOf(analysis, gone, span),
    remediesAt(analysis, gone, span),
    ...[lensesOf, linksOf, problemsOf, semanticTokensOf, fixAll].map((ask) => ask(analysis, gone)),
    refactorsAt(analysis, gone, 4),
    mentionsAt(analysis, gone, 4),
  ])
    expect(list).toEqual([]);
  expect(renameTargetAt(analysis, gone, 4)).toHaveProperty('refused');
});

it('has no neighbours for what the plan does not name', () => {
  for (const kind of ['circuit', 'supply', 'feed', 'run', 'controller', 'nothing of the kind'])
    expect([suppliersOf(analysis, kind, 'nobody'), suppliedBy(analysis, kind, 'nobody')]).toEqual([[], []]);
});

it('shows an empty place as the character behind it, else the one before, else as it is', () => {
  const [finding] = analysis.findings;
  const [declaration] = analysis.files[0]?.declarations ?? [];
  if (finding === undefined || declaration === undefined) throw new Error('no finding');
  const shownAt = (at: number, text: string) => {
    const { analysis: other } = analysePlan(text);
    const origin = { uri: MAIN, declaration: other.files[0]?.declarations[0] ?? declaration, start: at, end: at };
    const changed = Object.create(other, { findings: { value: [{ ...finding, origin, related: [] }] } });
    return problemsOf(changed, MAIN).map(({ start, end }) => [start, end]);
  };
  expect(shownAt(3, 'place shed\n')).toEqual([[3, 4]]);
  // At the end of a line, and at that of a text.
  expect(shownAt(10, 'place shed\n')).toEqual([[9, 10]]);
  expect(shownAt(10, 'place shed\r\n')).toEqual([[9, 10]]);
  expect(shownAt(10, 'place shed')).toEqual([[9, 10]]);
  expect(shownAt(0, '\nplace shed')).toEqual([[0, 0]]);
  expect(shownAt(0, '')).toEqual([[0, 0]]);
});
