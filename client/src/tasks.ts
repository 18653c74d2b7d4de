/** The task "festoon: check": the command line's check of a plan, with its findings in the Problems panel. */
import {
  type Disposable,
  type ExtensionContext,
  l10n,
  ProcessExecution,
  Task,
  TaskScope,
  type TextDocument,
  tasks,
  window,
} from 'vscode';

const type = 'festoon';

interface CheckTask {
  readonly type: string;
  /** The plan, as a path in the workspace; the open one where there is none. */
  readonly file?: string;
}

export function provideTasks(context: ExtensionContext): Disposable {
  const cli = context.asAbsolutePath('dist/cli.cjs');
  return tasks.registerTaskProvider(type, {
    provideTasks: () => (!isPlanOnDisk(window.activeTextEditor?.document) ? [] : [checkTask({ type }, cli)]),
    resolveTask: ({ definition, scope }) => checkTask(definition as CheckTask, cli, definition, scope),
  });
}

function checkTask(task: CheckTask, cli: string, definition = { ...task }, scope: Task['scope'] = TaskScope.Workspace) {
  // The editor puts in what stands in ${…}.
  const file = task.file ?? variable('file');
  // The editor's own Node runs it, so nothing needs to be installed or found on the PATH.
  const run = new ProcessExecution(process.execPath, [cli, 'check', '--quiet', file], {
    cwd: variable('workspaceFolder'),
    env: { ELECTRON_RUN_AS_NODE: '1', NO_COLOR: '1' },
  });
  const name = task.file === undefined ? l10n.t('check the open plan') : l10n.t('check {0}', task.file);
  return new Task(definition, scope, name, type, run, '$festoon');
}

const variable = (name: string): string => ['$', '{', name, '}'].join('');

/** The task checks `${file}`, which is the active editor's. */
function isPlanOnDisk(document: TextDocument | undefined): boolean {
  return document?.languageId === 'festoon' && document.uri.scheme === 'file';
}
