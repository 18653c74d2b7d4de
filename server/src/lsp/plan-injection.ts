import {
  type ApplyWorkspaceEditResult,
  LSPErrorCodes,
  MessageType,
  ResponseError,
  ShowMessageNotification,
} from 'vscode-languageserver';
import type { SourceFile } from '#grammar/source.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { changesOf } from '../analysis/changed-lines.ts';
import { Host } from '../analysis/host.ts';
import { HostBench } from '../analysis/host-bench.ts';
import { type Unlooked, unlookedIn } from '../analysis/unlooked.ts';
import { type FileEdit, fileIn } from '../ide/file-span.ts';
import { count } from '../model/texts.ts';
import { CAUTIONS } from '../papers/cautions.ts';
import { type DisplayPlan, planDisplaySteps } from '../planning/plan-display.ts';
import { nothingText, proofText } from '../planning/proof-text.ts';
import type { How } from './command.ts';
import type { ServerContext } from './context.ts';
import type { OpenDocument } from './documents.ts';
import { inTurns } from './in-turns.ts';
import { tell, type Work } from './progress.ts';

/** What became of it. The same is shown to the person as a message. */
export interface PlanAnswer {
  /** The lines stand in the plan. */
  readonly applied: boolean;
  readonly said: string;
  /** What is proposed, by the name of the run, board or supply that it is about. */
  readonly steps: readonly { readonly subject: string; readonly title: string }[];
  /** Runs that stay wanting, and why. */
  readonly wanting: readonly { readonly run: string; readonly reason: string }[];
  /** What of the plan could not be looked at, and why. */
  readonly notLookedAt: readonly Unlooked[];
}

const PLANNING: Work = { title: 'Festoon: planning injection', cancellable: true };

/**
 * Plans the injection of a whole display, as `festoon plan` does, and asks the client to put the lines into the plan. It
 * is worked on beside the plan, on texts of its own: what a person asks meanwhile is answered from the plan as it stands.
 */
export async function planInjection(
  ctx: ServerContext,
  analysis: Analysis,
  _: object,
  { token, workDoneToken, isCurrent }: How,
): Promise<PlanAnswer> {
  const { connection, plans } = ctx;
  const progress = tell(connection, PLANNING, workDoneToken);
  const bench = benchOf(analysis, plans.folderOf(analysis.uri));
  try {
    const proposed = await inTurns(planDisplaySteps(bench), token, isCurrent, progress);
    progress.end();
    const after = proposed.bench instanceof HostBench ? proposed.bench.analysis : analysis;
    return await put(ctx, analysis, after, proposed);
  } catch (error) {
    const isOld = error instanceof ResponseError && error.code === LSPErrorCodes.ContentModified;
    if (!isOld) throw error;
    return show(ctx, { applied: false, said: 'The plan was changed meanwhile, so nothing is proposed.', ...NOTHING });
  } finally {
    progress.end();
  }
}

const NOTHING = { steps: [], wanting: [], notLookedAt: [] };

/** The same plan on texts of its own. */
function benchOf({ uri, files }: Analysis, root: string): HostBench {
  const host = new Host(() => ({ missing: true }), root);
  for (const file of files) host.restore(file);
  return new HostBench(host, host.analyse(uri));
}

async function put(ctx: ServerContext, before: Analysis, after: Analysis, proposed: DisplayPlan): Promise<PlanAnswer> {
  const { steps, open } = proposed;
  const notLookedAt = unlookedIn(after);
  const isPartial = notLookedAt.length > 0;
  const left = open.map(({ run, reason }) => `${run} stays wanting: ${reason}.`);
  const answer = { applied: false, steps, wanting: open, notLookedAt };
  if (steps.length === 0) return show(ctx, { ...answer, said: [nothingText(proposed, isPartial), ...left].join(' ') });
  const { applied, failureReason } = await apply(ctx, before, editsBetween(before, after));
  if (!applied) {
    const why = failureReason === undefined ? '' : `: ${failureReason}`;
    return show(ctx, { ...answer, said: `The editor has not put the lines into the plan${why}.` });
  }
  const done = `${count(steps.length, 'change')} proposed, for ${[...new Set(steps.map(({ subject }) => subject))].join(', ')}.`;
  const said = [done, ...left, proofText(proposed, isPartial), ...CAUTIONS].join(' ');
  return show(ctx, { ...answer, applied, said });
}

/**
 * Texts that lines are being put into, or have been: a client may tell late that its text has changed, and not every one
 * refuses edits that were made for an older text.
 */
const outdated = new WeakSet<OpenDocument | SourceFile>();

/** Has the client make the edits. One that answers with an error has not made them. */
async function apply(ctx: ServerContext, before: Analysis, edits: FileEdit[]): Promise<ApplyWorkspaceEditResult> {
  const { connection, documents, to } = ctx;
  const edited = before.files.filter(({ uri }) => edits.some((edit) => edit.uri === uri));
  const texts = edited.map((file) => documents.get(file.uri) ?? file);
  if (texts.some((text) => outdated.has(text)))
    throw new ResponseError(LSPErrorCodes.ContentModified, 'the text has changed');
  for (const text of texts) outdated.add(text);
  const edit = to.workspaceEdit(before, edits);
  const answer = await connection.workspace
    .applyEdit({ label: 'Plan injection', edit })
    .catch(({ message }: Error) => ({ applied: false, failureReason: message }));
  if (!answer.applied) for (const text of texts) outdated.delete(text);
  return answer;
}

function show({ connection }: ServerContext, answer: PlanAnswer): PlanAnswer {
  void connection.sendNotification(ShowMessageNotification.type, { type: MessageType.Info, message: answer.said });
  return answer;
}

/** By lines, so that what stays keeps its place. */
function editsBetween(before: Analysis, after: Analysis): FileEdit[] {
  return before.files.flatMap(({ uri, text }) =>
    changesOf(text, fileIn(after, uri)?.text ?? text).map(({ start, gone, come }) => ({
      uri,
      start,
      end: start + gone.join('').length,
      text: come.join(''),
    })),
  );
}
