import type { TextDocumentContentParams, TextDocumentContentResult } from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { netlistOf } from '../model/netlist.ts';
import { papersOf } from '../papers/papers.ts';
import type { ServerContext } from './context.ts';
import { paperMarkdown } from './paper-markdown.ts';
import { keyOf } from './uri.ts';

/**
 * Documents that are made of a plan and can only be read: `festoon-netlist:NAME.cir?URI` is its SPICE deck and
 * `festoon-papers:NAME.md?URI` all its papers, where URI is the address of the plan.
 */
export const CONTENT_SCHEMES = ['festoon-netlist', 'festoon-papers'];

/** Waits for a pause in typing, ms: nobody reads a deck while writing. */
const PAUSE_MS = 500;

/** More than anybody has open; what was asked for first is then left as it is. */
const MOST_FOLLOWED = 20;

const UNREAD: TextDocumentContentResult = { text: 'There is no such plan.\n' };

/** Gives what is to be called when a plan has changed: documents that were asked for are then asked for again. */
export function handleContents({ connection, guard, plans }: ServerContext): () => void {
  /** What each was made of the last time. */
  const asked = new Map<string, Analysis>();
  connection.workspace.textDocumentContent.on(
    guard.request<TextDocumentContentParams, TextDocumentContentResult>(
      'workspace/textDocumentContent',
      UNREAD,
      async ({ uri }) => {
        const [scheme, key] = partsOf(uri);
        if (key === undefined) return UNREAD;
        const analysis = await plans.analysisFor(key);
        asked.delete(uri);
        asked.set(uri, analysis);
        for (const first of asked.keys()) if (asked.size > MOST_FOLLOWED) asked.delete(first);
        if (analysis.files.length === 0) return UNREAD;
        if (scheme === 'festoon-papers') return { text: paperMarkdown(papersOf(analysis, false)) };
        return { text: `${netlistOf(analysis.plan, analysis.account).lines.join('\n')}\n` };
      },
    ),
  );
  const refresh = async () => {
    for (const [uri, before] of [...asked]) {
      const [, key] = partsOf(uri);
      if (key === undefined || (await plans.analysisFor(key)) === before) continue;
      // It is asked for again where it is still open.
      asked.delete(uri);
      // A client that is shutting down answers with an error; that is of no interest.
      void connection.workspace.textDocumentContent.refresh(uri).catch(() => undefined);
    }
  };
  let timer: NodeJS.Timeout | undefined;
  return () => {
    clearTimeout(timer);
    if (asked.size === 0) return;
    timer = setTimeout(
      () => void refresh().catch((error: unknown) => guard.log(error, 'documents made of a plan')),
      PAUSE_MS,
    );
  };
}

function partsOf(uri: string): [string, string | undefined] {
  const scheme = uri.slice(0, uri.indexOf(':'));
  const query = uri.indexOf('?');
  if (!CONTENT_SCHEMES.includes(scheme) || query < 0) return [scheme, undefined];
  try {
    return [scheme, keyOf(decodeURIComponent(uri.slice(query + 1)))];
  } catch {
    return [scheme, undefined];
  }
}
