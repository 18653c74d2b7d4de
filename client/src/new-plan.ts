/** "New Plan": asks three questions and opens a first plan that is sound and has parts of its own. */
import { commands, l10n, type QuickPickItem, type TextEdit, WorkspaceEdit, window, workspace } from 'vscode';
import { type FirstPlan, firstPlan } from './first-plan.ts';

interface Choice<T> extends QuickPickItem {
  readonly value: T;
}

const units = (): readonly Choice<FirstPlan['units']>[] => [
  { label: l10n.t('Metric'), description: l10n.t('metres and millimetres'), value: 'metric' },
  { label: l10n.t('Imperial'), description: l10n.t('feet and inches'), value: 'imperial' },
];

const volts = (): readonly Choice<FirstPlan['volts']>[] => [
  { label: '12 V', description: l10n.t('sags less; the usual choice outdoors'), value: 12 },
  { label: '5 V', description: l10n.t('needs more feeds'), value: 5 },
];

const step = (number: number): string => l10n.t('New plan ({0} of 3)', number);

export async function newPlan(): Promise<void> {
  const title = await window.showInputBox({
    title: step(1),
    prompt: l10n.t('What is the display called?'),
    value: l10n.t('Winter lights'),
    validateInput: (text) => (/["\r\n]/.test(text) ? l10n.t('Quotes cannot stand in a title.') : undefined),
  });
  if (title === undefined) return;
  const unit = await window.showQuickPick(units(), { title: step(2), placeHolder: l10n.t('How do you measure?') });
  if (unit === undefined) return;
  const volt = await window.showQuickPick(volts(), { title: step(3), placeHolder: l10n.t('Which pixels?') });
  if (volt === undefined) return;
  const content = firstPlan({ title: title.trim(), units: unit.value, volts: volt.value });
  const document = await workspace.openTextDocument({ language: 'festoon', content });
  await window.showTextDocument(document);
  // The server knows the one style; without it the plan is as good, if less tidy.
  const options = { tabSize: 2, insertSpaces: true };
  const edits = await commands.executeCommand<TextEdit[] | undefined>(
    'vscode.executeFormatDocumentProvider',
    document.uri,
    options,
  );
  const change = new WorkspaceEdit();
  change.set(document.uri, edits ?? []);
  await workspace.applyEdit(change);
}
