/** Pages that say what the code of a finding means. The server writes them, so they are there offline. */
import { type Disposable, l10n, Uri, window, workspace } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { showMarkdown } from './show-markdown.ts';

/** Codes in the Problems panel lead to addresses of this scheme: `festoon-explain:low-voltage.md`. */
export const explainScheme = 'festoon-explain';

export function provideExplanations(client: BaseLanguageClient): Disposable {
  return workspace.registerTextDocumentContentProvider(explainScheme, {
    async provideTextDocumentContent({ path }) {
      const code = path.replace(/^\/|\.md$/g, '');
      const page = await client.sendRequest<{ markdown: string } | null>('festoon/explain', { code });
      return page?.markdown ?? `${l10n.t('There is no code "{0}".', code)}\n`;
    },
  });
}

/** Asks for a code among those that are found at the moment, unless one is given, and shows its page. */
export async function explain(code: unknown, found: readonly string[]): Promise<void> {
  const chosen = typeof code === 'string' ? code : await askCode(found);
  if (chosen === undefined) return;
  const uri = Uri.from({ scheme: explainScheme, path: `${chosen}.md` });
  await showMarkdown(uri, 'here');
}

async function askCode(found: readonly string[]): Promise<string | undefined> {
  const placeHolder = found.length === 0 ? l10n.t('A code, for example low-voltage') : l10n.t('Which code?');
  if (found.length === 0) return window.showInputBox({ title: l10n.t('Explain a code'), placeHolder });
  return window.showQuickPick([...found], { title: l10n.t('Explain a code'), placeHolder });
}
