import {
  DocumentDiagnosticReportKind,
  type WorkspaceDiagnosticParams,
  WorkspaceDiagnosticRequest,
  type WorkspaceDocumentDiagnosticReport,
} from 'vscode-languageserver';
import type { ServerContext } from './context.ts';
import { diagnosticsOf, type FileDiagnostics, internalProblem, stamped } from './diagnostics.ts';
import { Turns } from './in-turns.ts';
import { assertParams } from './params.ts';
import { isToken, tellAsked, tellUnasked, type Work } from './progress.ts';
import { keyOf } from './uri.ts';

/** Answers clients that ask for diagnostics: for one file, or for all files of the workspace. */
export function handleDiagnostics(ctx: ServerContext): void {
  const { connection } = ctx;
  connection.languages.diagnostics.on(async ({ textDocument, previousResultId }) => {
    assertParams('textDocument/diagnostic', { textDocument });
    const { items, resultId } = await find(ctx, keyOf(textDocument.uri));
    if (resultId === previousResultId) return { kind: DocumentDiagnosticReportKind.Unchanged, resultId };
    return { kind: DocumentDiagnosticReportKind.Full, resultId, items };
  });
  const reported = new Set<string>();
  connection.onRequest(WorkspaceDiagnosticRequest.type, async (params, token) => {
    assertParams('workspace/diagnostic', params);
    const { workDoneToken } = params;
    let progress = tellAsked(connection, CHECKING, workDoneToken);
    try {
      // That files are being read is told already.
      await ctx.plans.listed();
      if (!isToken(workDoneToken)) progress = tellUnasked(connection, CHECKING);
      return { items: await findAll(ctx, params, reported, new Turns(token, progress)) };
    } finally {
      progress.end();
    }
  });
}

/** Whoever cancels it in an editor that asks again by itself would see it start over. */
const CHECKING: Work = { title: 'Festoon: checking plans', cancellable: false };

async function find({ guard, plans, to }: ServerContext, key: string): Promise<FileDiagnostics> {
  if (to.leavesOut(key)) return stamped([]);
  try {
    return await diagnosticsOf(plans, to, key);
  } catch (error) {
    return internalProblem(guard.log(error, `the analysis of ${key}`));
  }
}

/**
 * The findings of all files, plan by plan. A client that takes an answer in parts gets what was found with each turn, and
 * then nothing at the end, as the protocol wants it. `reported`: files that it was told of before.
 */
async function findAll(
  ctx: ServerContext,
  { previousResultIds, partialResultToken }: WorkspaceDiagnosticParams,
  reported: Set<string>,
  turns: Turns,
): Promise<WorkspaceDocumentDiagnosticReport[]> {
  const { connection, documents, plans, to } = ctx;
  const before = new Map(previousResultIds.map(({ uri, value }) => [keyOf(uri), value]));
  let items: WorkspaceDocumentDiagnosticReport[] = [];
  const add = (key: string, { items: found, resultId }: FileDiagnostics) => {
    const where = { uri: to.address(key), version: to.versionOf(key), resultId };
    if (before.get(key) === resultId) items.push({ ...where, kind: DocumentDiagnosticReportKind.Unchanged });
    else items.push({ ...where, kind: DocumentDiagnosticReportKind.Full, items: found });
  };
  const send = async () => {
    if (!isToken(partialResultToken) || items.length === 0) return;
    await connection.sendProgress(WorkspaceDiagnosticRequest.partialResult, partialResultToken, { items });
    items = [];
  };
  const seen = new Set<string>();
  const look = async (key: string) => {
    if (seen.has(key)) return;
    seen.add(key);
    reported.add(key);
    add(key, await find(ctx, key));
  };
  const mains = await plans.allMains();
  // Each plan by itself first: what is found in a file that many of them use is found in all of them at once.
  for (const [index, main] of mains.entries()) {
    const [file] = await plans.sourcesOf(main);
    if (file !== undefined) await look(file.uri);
    if (turns.isOver) await send();
    await turns.part(index + 1, mains.length);
  }
  for (const main of mains) {
    for (const { uri } of await plans.sourcesOf(main)) await look(uri);
    if (!turns.isOver) continue;
    await send();
    await turns.next();
  }
  for (const { key } of documents.all()) await look(key);
  // A file that has gone keeps its old findings in the client until it is told that there are none.
  for (const key of new Set([...reported, ...before.keys()])) {
    if (seen.has(key)) continue;
    reported.delete(key);
    add(key, stamped([]));
  }
  await send();
  return items;
}
