/** Tells the server what was last committed, from the editor's own git extension: nothing is run from here. */
import { type Disposable, extensions, l10n, Uri } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';

/** The little that is needed of the interface that the git extension of VS Code offers to others. */
interface GitExtension {
  getAPI(version: 1): { getRepository(uri: Uri): Repository | null };
}

interface Repository {
  show(ref: string, path: string): Promise<string>;
}

type CommittedFile = { readonly text: string } | { readonly error: string };

export function answerCommittedFiles(client: BaseLanguageClient): Disposable {
  return client.onRequest('festoon/committedFile', ({ uri }: { uri: string }) => committedFile(uri));
}

async function committedFile(address: string): Promise<CommittedFile> {
  const extension = extensions.getExtension<GitExtension>('vscode.git');
  if (extension === undefined)
    return { error: l10n.t('The git extension of the editor is not there or is switched off.') };
  try {
    const git = (extension.isActive ? extension.exports : await extension.activate()).getAPI(1);
    const uri = Uri.parse(address, true);
    const repository = git.getRepository(uri);
    if (repository === null) return { error: l10n.t('This plan lies in no git repository that the editor has open.') };
    return { text: await repository.show('HEAD', uri.fsPath) };
  } catch {
    return { error: l10n.t('This file is not in the last commit.') };
  }
}
