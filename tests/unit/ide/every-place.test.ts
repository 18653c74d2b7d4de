import { beforeAll, describe, expect, it } from 'vitest';
import { LEXER } from '#grammar/tokens.ts';
import type { Analysis } from '#server/analysis/analysis.ts';
import type { Host } from '#server/analysis/host.ts';
import { cardMarkdown, cardText } from '#server/ide/card.ts';
import { completeAt } from '#server/ide/completion/complete.ts';
import { previewCable } from '#server/ide/completion/preview-cable.ts';
import { typeDefinitionAt } from '#server/ide/definition.ts';
import { describeName } from '#server/ide/describe.ts';
import { powerItemAt, suppliedBy, suppliersOf } from '#server/ide/feed-hierarchy.ts';
import type { FileEdit } from '#server/ide/file-span.ts';
import { lensesOf } from '#server/ide/lenses.ts';
import { refactorsAt } from '#server/ide/refactors.ts';
import { mentionsAt } from '#server/ide/references.ts';
import { renameAt, renameTargetAt } from '#server/ide/rename.ts';
import { signatureAt } from '#server/ide/signature.ts';
import { everyPlan } from '../../support/every-plan.ts';
import { holdFindings, holdPlace, holdViews } from '../../support/fuzz/plan-invariants.ts';
import { hostOf, MAIN } from '../../support/plans.ts';

/**
 * Every plan of the project, looked at from every word of it: nothing throws, nothing that is shown holds what only a
 * fault of ours writes, a renaming can be taken back to the byte, and a refactoring changes no ampere.
 */
const NO_NUMBER = /\b(?:NaN|Infinity|undefined)\b|\[object /;

describe.each(everyPlan())('$name', ({ files }) => {
  const text = files.get('plan.festoon') ?? '';
  const all = [...files.values()].join('\n');
  const starts = LEXER.tokenize(text).tokens.map(({ startOffset }) => startOffset);
  let host: Host;
  let analysis: Analysis;
  beforeAll(() => {
    host = hostOf(files);
    analysis = host.analyse(MAIN);
  });

  it('can be looked at', () => {
    holdFindings(analysis, all);
    for (const uri of analysis.files.map((file) => file.uri)) {
      holdViews(analysis, uri, all);
      for (const { title } of lensesOf(analysis, uri)) expect(title).not.toMatch(NO_NUMBER);
    }
  });

  it('can be asked about each word', () => {
    for (const offset of starts) {
      holdPlace(analysis, MAIN, offset, all);
      typeDefinitionAt(analysis, MAIN, offset);
      const signature = signatureAt(analysis, MAIN, offset);
      if (signature !== undefined) expect(signature.label).not.toMatch(NO_NUMBER);
      const item = powerItemAt(analysis, MAIN, offset);
      if (item === undefined) continue;
      for (const { item: other } of suppliersOf(analysis, item.kind, item.name))
        expect(suppliedBy(analysis, other.kind, other.name).map((link) => link.item.name)).toContain(item.name);
    }
  });

  it('has something to say of all that completion offers', () => {
    for (const offset of starts.filter((_, index) => index % 5 === 0)) {
      for (const { label, kind } of completeAt(analysis, MAIN, offset)?.items ?? []) {
        if (kind === undefined) continue;
        const card = describeName(analysis, kind, label);
        if (card !== undefined) {
          expect(cardMarkdown(card).length, `${kind} ${label}`).toBeGreaterThan(0);
          expect(cardText(card)).not.toMatch(NO_NUMBER);
        }
        if (kind === 'cable') expect(previewCable(analysis, MAIN, offset, label) ?? '').not.toMatch(NO_NUMBER);
      }
    }
  });

  it('is the same to the byte when a renaming is taken back', () => {
    const targets = starts.filter((offset) => !('refused' in renameTargetAt(analysis, MAIN, offset)));
    for (const offset of targets.filter((_, index) => index % Math.ceil(targets.length / 4) === 0)) {
      const target = renameTargetAt(analysis, MAIN, offset);
      const edits = renameAt(analysis, MAIN, offset, FRESH);
      if ('refused' in target || 'refused' in edits) continue;
      expect(edits).toHaveLength(mentionsAt(analysis, MAIN, offset).length);
      const renamed = edited(files, edits);
      const after = hostOf(renamed).analyse(MAIN);
      expect(ampsOf(after)).toEqual(ampsOf(analysis));
      expect(codesOf(after)).toEqual(codesOf(analysis));
      const place = (renamed.get('plan.festoon') ?? '').indexOf(FRESH);
      const back = renameAt(after, MAIN, place, target.name);
      if ('refused' in back) {
        // Words of the language may be names where they stand, but none is given anew.
        expect(back.refused).toContain('is a word of the language');
        continue;
      }
      expect(Object.fromEntries(edited(renamed, back))).toEqual(Object.fromEntries(files));
    }
  });

  it('draws the same after each refactoring', () => {
    const seen = new Set<string>();
    for (const offset of starts) {
      for (const { title, edits } of refactorsAt(analysis, MAIN, offset)) {
        if (seen.has(title)) continue;
        seen.add(title);
        expect([title, ampsOf(hostOf(edited(files, edits)).analyse(MAIN))]).toEqual([title, ampsOf(analysis)]);
      }
    }
  });
});

const FRESH = 'quite-another-name';
const FOLDER = MAIN.slice(0, MAIN.lastIndexOf('/') + 1);

function edited(files: ReadonlyMap<string, string>, edits: readonly FileEdit[]): Map<string, string> {
  const result = new Map(files);
  for (const { uri, start, end, text } of [...edits].sort((a, b) => b.start - a.start)) {
    const name = uri.slice(FOLDER.length);
    const before = result.get(name) ?? '';
    result.set(name, before.slice(0, start) + text + before.slice(end));
  }
  return result;
}

/** What is found, but for what is said of the letters of a name. */
const codesOf = ({ findings }: Analysis) =>
  findings
    .map(({ code }) => code)
    .filter((code) => code !== 'mixed-scripts')
    .sort();

/** What every supply gives, the least first; names may differ. Order of solving may differ, so nine digits count. */
const ampsOf = ({ account }: Analysis) =>
  [...account.supplies.values()].map(({ amps }) => Number(amps.toPrecision(9))).sort((a, b) => a - b);
