/** "New Plan": asks three questions and opens a first plan that is sound and has parts of its own. */
import { commands, type QuickPickItem, type TextEdit, WorkspaceEdit, window, workspace } from 'vscode';
import { type FirstPlan, firstPlan } from './first-plan.ts';

interface Choice<T> extends QuickPickItem {
  readonly value: T;
}

const units: readonly Choice<FirstPlan['units']>[] = [
  { label: 'Metric', description: 'metres and millimetres', value: 'metric' },
  { label: 'Imperial', description: 'feet and inches', value: 'imperial' },
];

const volts: readonly Choice<FirstPlan['volts']>[] = [
  { label: '12 V', description: 'sags less; the usual choice outdoors', value: 12 },
  { label: '5 V', description: 'needs more feeds', value: 5 },
];

export async function newPlan(): Promise<void> {
  const title = await window.showInputBox({
    title: 'New plan (1 of 3)',
    prompt: 'What is the display called?',
    value: 'Winter lights',
    validateInput: (text) => (/["\r\n]/.test(text) ? 'Quotes cannot stand in a title.' : undefined),
  });
  if (title === undefined) return;
  const unit = await window.showQuickPick(units, { title: 'New plan (2 of 3)', placeHolder: 'How do you measure?' });
  if (unit === undefined) return;
  const volt = await window.showQuickPick(volts, { title: 'New plan (3 of 3)', placeHolder: 'Which pixels?' });
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
