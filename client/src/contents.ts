/** Read-only documents that the server makes of a plan: its papers and its circuit. */
import { commands, type TextDocument, Uri, ViewColumn, window } from 'vscode';

export async function showPapers(): Promise<void> {
  const plan = openPlan();
  if (plan === undefined) return;
  const uri = contentOf(plan, 'festoon-papers', 'md');
  try {
    await commands.executeCommand('markdown.showPreviewToSide', uri);
  } catch {
    // An editor without a Markdown preview shows the text.
    await window.showTextDocument(uri, { viewColumn: ViewColumn.Beside });
  }
}

export async function showNetlist(): Promise<void> {
  const plan = openPlan();
  if (plan === undefined) return;
  await window.showTextDocument(contentOf(plan, 'festoon-netlist', 'cir'), { viewColumn: ViewColumn.Beside });
}

function openPlan(): TextDocument | undefined {
  const document = window.activeTextEditor?.document;
  return document?.languageId === 'festoon' ? document : undefined;
}

/** The address tells the server which plan; its name is what the tab shows. */
function contentOf({ uri }: TextDocument, scheme: string, extension: string): Uri {
  const name = uri.path
    .split('/')
    .at(-1)
    ?.replace(/\.festoon$/, '');
  return Uri.from({
    scheme,
    path: `${name === undefined || name === '' ? 'plan' : name}.${extension}`,
    query: uri.toString(),
  });
}
