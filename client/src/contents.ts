/** Read-only documents that the server makes of a plan: its papers and its circuit. */
import { type TextDocument, Uri, ViewColumn, window } from 'vscode';
import { openPlan } from './open-plan.ts';
import { showMarkdown } from './show-markdown.ts';

export async function showPapers(): Promise<void> {
  const plan = openPlan();
  if (plan === undefined) return;
  await showMarkdown(contentOf(plan, 'festoon-papers', 'md'), 'beside');
}

export async function showNetlist(): Promise<void> {
  const plan = openPlan();
  if (plan === undefined) return;
  await window.showTextDocument(contentOf(plan, 'festoon-netlist', 'cir'), { viewColumn: ViewColumn.Beside });
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
