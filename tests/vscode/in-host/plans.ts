/** How the tests in the extension host open plans and wait for what the server says of them. */
import assert from 'node:assert/strict';
import { commands, type Diagnostic, languages, type Position, type TextDocument, Uri, window, workspace } from 'vscode';

export async function openPlan(name = 'plan.festoon'): Promise<TextDocument> {
  const [folder] = workspace.workspaceFolders ?? [];
  assert.ok(folder, 'a folder is open');
  const document = await open(Uri.joinPath(folder.uri, name));
  // An earlier test that failed half-way must not make this one fail.
  if (document.isDirty) await commands.executeCommand('workbench.action.files.revert');
  return document;
}

export async function open(uri: Uri): Promise<TextDocument> {
  const document = await workspace.openTextDocument(uri);
  await window.showTextDocument(document, { preview: false });
  return document;
}

/** Waits until the codes of the diagnostics are these. */
export async function codes(uri: Uri, expected: readonly string[]): Promise<readonly Diagnostic[]> {
  const read = () => languages.getDiagnostics(uri).map((diagnostic) => String(codeOf(diagnostic)));
  await until(`diagnostics ${expected.join()} of ${uri.path}`, () => read().join() === expected.join(), read);
  return languages.getDiagnostics(uri);
}

export const codeOf = ({ code }: Diagnostic): string | number | undefined =>
  typeof code === 'object' ? code.value : code;

export async function until(what: string, holds: () => boolean, show: () => unknown, seconds = 20): Promise<void> {
  const deadline = Date.now() + seconds * 1000;
  while (!holds()) {
    if (Date.now() > deadline) throw new Error(`${what}: not within ${seconds} s; it is ${JSON.stringify(show())}`);
    await new Promise((resolve) => setTimeout(resolve, 50));
  }
}

/** The place of a text, at its first character or `into` characters further. */
export function placeOf(document: TextDocument, text: string, into = 0): Position {
  const offset = document.getText().indexOf(text);
  assert.ok(offset >= 0, `${text} stands in the plan`);
  return document.positionAt(offset + into);
}
