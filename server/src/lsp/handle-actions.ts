import {
  type CancellationToken,
  type CodeAction,
  CodeActionKind,
  type CodeActionParams,
  CodeActionTriggerKind,
  LSPErrorCodes,
  type Range,
  ResponseError,
} from 'vscode-languageserver';
import { draftsAt } from '../ide/declare.ts';
import { fixAll, remedyOf, remedySteps } from '../ide/fixes.ts';
import { pathFixesAt } from '../ide/missing-files.ts';
import { refactorsAt } from '../ide/refactors.ts';
import { wantingRuns } from '../planning/bench.ts';
import { FIX_ALL, PLAN_ALL } from './capabilities.ts';
import type { ServerContext } from './context.ts';
import { Deferred, type DeferredData } from './deferred.ts';
import { type Asked, askedOf, wants } from './from-lsp.ts';
import { PLAN_COMMAND } from './handle-commands.ts';
import { inTurns } from './in-turns.ts';
import { type Progress, tellAsked, type Work } from './progress.ts';
import { toDiagnostic, toQuickFix } from './to-lsp.ts';
import { keyOf } from './uri.ts';

/** What can be done at a place: quick fixes, refactorings, and all fixes of a file that need no choice. */
export function handleActions(ctx: ServerContext): void {
  const { connection, guard } = ctx;
  const deferred = new Deferred();
  connection.onRequest(
    'textDocument/codeAction',
    guard.request<CodeActionParams, CodeAction[]>('textDocument/codeAction', [], async (params, token) => {
      await untilStill(ctx, params, token);
      const asked = await askedOf(ctx, params.textDocument.uri, token);
      if (asked === undefined) return [];
      const progress = tellAsked(connection, LOOKING, params.workDoneToken);
      return codeActions(ctx, deferred, asked, params, token, progress).finally(() => progress.end());
    }),
  );
  connection.onCodeActionResolve((action, token) =>
    guard.request<CodeAction, CodeAction>('codeAction/resolve', action, () => resolved(ctx, deferred, action, token))(
      action,
      token,
    ),
  );
}

const LOOKING: Work = { title: 'Festoon: looking for what helps', cancellable: true };

/** Computing injection points can take a few hundred milliseconds. */
const CURSOR_PAUSE_MS = 100;

/** Editors ask for fixes at every step of the cursor. Nothing is computed for a step that the next one overtakes. */
async function untilStill(
  { documents }: ServerContext,
  { context, textDocument }: CodeActionParams,
  token: CancellationToken,
) {
  if (context.triggerKind !== CodeActionTriggerKind.Automatic) return;
  const version = documents.get(keyOf(textDocument.uri))?.version;
  await new Promise((resolve) => {
    setTimeout(resolve, CURSOR_PAUSE_MS);
  });
  if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'cancelled');
  if (version !== documents.get(keyOf(textDocument.uri))?.version)
    throw new ResponseError(LSPErrorCodes.ContentModified, 'the text has changed');
}

async function codeActions(
  { plans }: ServerContext,
  deferred: Deferred,
  { to, analysis, key, lines }: Asked,
  { range, context }: CodeActionParams,
  token: CancellationToken,
  progress: Progress,
): Promise<CodeAction[]> {
  const actions: CodeAction[] = [];
  if (wants(context, CodeActionKind.QuickFix)) {
    const steps = remedySteps(analysis, key, lines.spanOf(range), to.traits.resolvesActions);
    const found = await inTurns(steps, token, async () => (await plans.analysisFor(key)) === analysis, progress);
    const remedies = found.filter(({ disabled }) => disabled === undefined || to.traits.showsDisabledActions);
    for (const remedy of remedies) {
      const action = toQuickFix(to, analysis, key, remedy);
      // Without an edit, the client asks for it when a person takes the action.
      if (action.edit === undefined && remedy.source !== undefined)
        action.data = deferred.dataOf(analysis, key, remedy.source);
      actions.push(action);
    }
    actions.push(...otherPaths({ to, analysis, key, lines }, range, plans));
    if (to.traits.takesSnippetEdits) actions.push(...drafts({ to, analysis, key, lines }, range));
  }
  actions.push(...refactorings({ to, analysis, key, lines }, { range, context }));
  if (wants(context, FIX_ALL)) {
    const edits = fixAll(analysis, key);
    if (edits.length > 0)
      actions.push({
        title: 'Fix all words, units, quotes and fuses',
        kind: FIX_ALL,
        edit: to.workspaceEdit(analysis, edits),
      });
  }
  // Told by the kind alone or by hand: a look at all findings is too much for each step of the cursor.
  const isAsked = context.triggerKind === CodeActionTriggerKind.Invoked || context.only !== undefined;
  if (to.traits.appliesEdits && isAsked && wants(context, PLAN_ALL) && wantingRuns(analysis).length > 0) {
    const command = { title: PLAN_TITLE, command: PLAN_COMMAND, arguments: [{ uri: to.address(analysis.uri) }] };
    actions.push({ title: PLAN_TITLE, kind: PLAN_ALL, command });
  }
  return actions;
}

const PLAN_TITLE = 'Plan injection for the whole display';

/** What else a `use` line could lead to, where it leads to no file. */
function otherPaths(
  { to, analysis, key, lines }: Pick<Asked, 'to' | 'analysis' | 'key' | 'lines'>,
  range: Range,
  plans: ServerContext['plans'],
): CodeAction[] {
  const fixes = pathFixesAt(analysis, key, lines.spanOf(range), plans.knownFiles(), plans.folderOf(key));
  return fixes.flatMap(({ title, problem, preferred, cure }) => {
    if ('creates' in cure && !to.traits.createsFiles) return [];
    const action: CodeAction = {
      title,
      kind: CodeActionKind.QuickFix,
      diagnostics: [toDiagnostic(to, analysis, key, problem)],
      edit: 'creates' in cure ? to.newFile(cure.creates) : to.workspaceEdit(analysis, [cure]),
    };
    if (preferred) action.isPreferred = true;
    return [action];
  });
}

/** Declarations for names that nothing has yet. */
function drafts(
  { to, analysis, key, lines }: Pick<Asked, 'to' | 'analysis' | 'key' | 'lines'>,
  range: Range,
): CodeAction[] {
  return draftsAt(analysis, key, lines.spanOf(range)).map(({ title, problem, uri, at, snippet }) => ({
    title,
    kind: CodeActionKind.QuickFix,
    diagnostics: [toDiagnostic(to, analysis, key, problem)],
    edit: to.snippetEdit(analysis, { uri, start: at, end: at, text: snippet }),
  }));
}

const REFACTORS = {
  extract: CodeActionKind.RefactorExtract,
  inline: CodeActionKind.RefactorInline,
  rewrite: CodeActionKind.RefactorRewrite,
} as const;

/** Each is tried on the whole plan, so they are made only when a person asks, not at each step of the cursor. */
function refactorings(
  { to, analysis, key, lines }: Pick<Asked, 'to' | 'analysis' | 'key' | 'lines'>,
  { range, context }: Pick<CodeActionParams, 'range' | 'context'>,
): CodeAction[] {
  if (context.triggerKind !== CodeActionTriggerKind.Invoked && context.only === undefined) return [];
  if (!Object.values(REFACTORS).some((kind) => wants(context, kind))) return [];
  return refactorsAt(analysis, key, lines.spanOf(range).start)
    .filter(({ kind }) => wants(context, REFACTORS[kind]))
    .map(({ title, kind, edits }) => ({ title, kind: REFACTORS[kind], edit: to.workspaceEdit(analysis, edits) }));
}

/**
 * Gives an action its edit, once it has held on the plan as a whole. What was offered for another text is refused, and so is
 * what does not hold.
 */
async function resolved(
  { plans, to }: ServerContext,
  deferred: Deferred,
  action: CodeAction,
  token: CancellationToken,
): Promise<CodeAction> {
  const data = action.data as DeferredData | undefined;
  if (data === undefined || action.edit !== undefined) return action;
  const analysis = await plans.analysisFor(data.uri);
  const isCurrent = async () => deferred.isOf(await plans.analysisFor(data.uri), data);
  if (!(await isCurrent())) throw new ResponseError(LSPErrorCodes.ContentModified, 'the text has changed');
  const edits = await inTurns(remedyOf(analysis, data), token, isCurrent);
  if (edits === undefined)
    throw new ResponseError(LSPErrorCodes.RequestFailed, `"${action.title}" does not hold on the plan as a whole.`);
  return { ...action, edit: to.workspaceEdit(analysis, edits) };
}
