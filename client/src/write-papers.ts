/** "Save Papers": the papers of the open plan, written into a folder that the person chooses, on any file system. */
import { env, l10n, Uri, window, workspace } from 'vscode';
import { type BaseLanguageClient, LSPErrorCodes, ResponseError } from 'vscode-languageclient';
import { openPlan } from './open-plan.ts';

interface Report {
  readonly files: readonly { readonly name: string; readonly text: string }[];
  readonly isFound: boolean;
}

/** `folder` is where they go; without one the person is asked. */
export async function writePapers(client: BaseLanguageClient, folder?: unknown): Promise<void> {
  const document = openPlan();
  if (document === undefined) return;
  const chosen = folder instanceof Uri ? folder : await ask(document.uri);
  if (chosen === undefined) return;
  const textDocument = { uri: client.code2ProtocolConverter.asUri(document.uri) };
  const encoder = new TextEncoder();
  let report: Report | null;
  try {
    report = await client.sendRequest<Report | null>('festoon/report', { textDocument });
    if (report === null) throw new Error(l10n.t('this plan cannot be read.'));
    await workspace.fs.createDirectory(chosen);
    for (const { name, text } of report.files)
      await workspace.fs.writeFile(Uri.joinPath(chosen, name), encoder.encode(text));
  } catch (error) {
    // Whoever cancels it knows.
    if (error instanceof ResponseError && error.code === LSPErrorCodes.RequestCancelled) return;
    const why = error instanceof Error ? error.message : String(error);
    void window.showErrorMessage(l10n.t('The papers cannot be saved: {0}', why));
    return;
  }
  void tell(chosen, report);
}

async function ask(plan: Uri): Promise<Uri | undefined> {
  const [folder] =
    (await window.showOpenDialog({
      title: l10n.t('Where do the papers go? Files of the same names are replaced.'),
      openLabel: l10n.t('Save papers here'),
      canSelectFiles: false,
      canSelectFolders: true,
      ...(plan.scheme === 'untitled' ? {} : { defaultUri: Uri.joinPath(plan, '..') }),
    })) ?? [];
  return folder;
}

async function tell(folder: Uri, { files, isFound }: Report): Promise<void> {
  const saved = l10n.t('{0} files saved: report.html and labels.html to print, drawings, tables as CSV.', files.length);
  const said = isFound ? `${saved} ${l10n.t('The plan has findings: see the first sheet.')}` : saved;
  // A browser can only be led to a file that is on its own machine.
  const [open] = folder.scheme === 'file' ? [l10n.t('Open report.html')] : [];
  const answer = await (open === undefined
    ? window.showInformationMessage(said)
    : window.showInformationMessage(said, open));
  if (answer !== undefined) await env.openExternal(Uri.joinPath(folder, 'report.html'));
}
