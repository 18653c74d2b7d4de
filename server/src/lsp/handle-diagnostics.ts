import { DocumentDiagnosticReportKind, type WorkspaceDocumentDiagnosticReport } from 'vscode-languageserver';
import type { ServerContext } from './context.ts';
import { diagnosticsOf, type FileDiagnostics, internalProblem, stamped } from './diagnostics.ts';
import { assertParams } from './params.ts';
import { keyOf } from './uri.ts';

/** Answers clients that ask for diagnostics: for one file, or for all files of the workspace. */
export function handleDiagnostics(ctx: ServerContext): void {
  const { connection, guard, plans } = ctx;
  const reported = new Set<string>();

  const find = async (key: string): Promise<FileDiagnostics> => {
    if (ctx.to.leavesOut(key)) return stamped([]);
    try {
      return await diagnosticsOf(plans, ctx.to, key);
    } catch (error) {
      return internalProblem(guard.log(error, `the analysis of ${key}`));
    }
  };

  connection.languages.diagnostics.on(async ({ textDocument, previousResultId }) => {
    assertParams('textDocument/diagnostic', { textDocument });
    const { items, resultId } = await find(keyOf(textDocument.uri));
    if (resultId === previousResultId) return { kind: DocumentDiagnosticReportKind.Unchanged, resultId };
    return { kind: DocumentDiagnosticReportKind.Full, resultId, items };
  });

  connection.languages.diagnostics.onWorkspace(async ({ previousResultIds }, token) => {
    assertParams('workspace/diagnostic', { previousResultIds });
    const before = new Map(previousResultIds.map(({ uri, value }) => [keyOf(uri), value]));
    const items: WorkspaceDocumentDiagnosticReport[] = [];
    const add = (key: string, { items: found, resultId }: FileDiagnostics) => {
      const where = { uri: ctx.to.address(key), version: ctx.to.versionOf(key), resultId };
      if (before.get(key) === resultId) items.push({ ...where, kind: DocumentDiagnosticReportKind.Unchanged });
      else items.push({ ...where, kind: DocumentDiagnosticReportKind.Full, items: found });
    };
    const keys = new Set(await plans.filesOfAllPlans());
    for (const key of keys) {
      if (token.isCancellationRequested) break;
      reported.add(key);
      add(key, await find(key));
    }
    // A file that has gone keeps its old findings in the client until it is told that there are none.
    for (const key of new Set([...reported, ...before.keys()])) {
      if (keys.has(key)) continue;
      reported.delete(key);
      add(key, stamped([]));
    }
    return { items };
  });
}
