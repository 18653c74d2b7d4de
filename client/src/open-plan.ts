import { l10n, type TextDocument, type TextEditor, window } from 'vscode';

/** Schemes under which the editor shows earlier versions: of git, of its own history, and as saved. */
export const earlierVersions = ['git', 'vscode-local-history', 'showModifications'];

/** A plan that is worked on, and not only shown beside one. */
export function isPlan({ languageId, uri }: TextDocument): boolean {
  return languageId === 'festoon' && !earlierVersions.includes(uri.scheme);
}

/** The plan that the person has in front of them: in the active editor, or else in one that can be seen. */
export function planEditor(): TextEditor | undefined {
  const candidates = [window.activeTextEditor, ...window.visibleTextEditors];
  return candidates.find((editor) => editor !== undefined && isPlan(editor.document));
}

/** The same for a command, which says what to do where there is none. */
export function openPlan(): TextDocument | undefined {
  const plan = planEditor()?.document;
  if (plan === undefined) void window.showInformationMessage(l10n.t('Open the plan first.'));
  return plan;
}
