import { commands, type Uri, ViewColumn, window } from 'vscode';

/** Shows a page; an editor without a Markdown preview shows its text. */
export async function showMarkdown(uri: Uri, where: 'here' | 'beside'): Promise<void> {
  try {
    await commands.executeCommand(where === 'here' ? 'markdown.showPreview' : 'markdown.showPreviewToSide', uri);
  } catch {
    await window.showTextDocument(uri, { viewColumn: where === 'here' ? ViewColumn.Active : ViewColumn.Beside });
  }
}
