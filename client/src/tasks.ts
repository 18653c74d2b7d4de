/** The task "festoon: check": the command line's check of a plan, with its findings in the Problems panel. */
import { type Disposable, type ExtensionContext, l10n, ProcessExecution, Task, TaskScope, tasks } from 'vscode';
import { planEditor } from './open-plan.ts';

const type = 'festoon';

interface CheckTask {
  readonly type: string;
  /** The plan, as a path in the workspace; the open one where there is none. */
  readonly file?: string;
}

export function provideTasks(context: ExtensionContext): Disposable {
  const cli = context.asAbsolutePath('dist/cli.cjs');
  return tasks.registerTaskProvider(type, {
    provideTasks: () => {
      const plan = planEditor()?.document;
      return plan?.uri.scheme === 'file' ? [checkTask({ type }, cli, plan.uri.fsPath)] : [];
    },
    // The editor puts in what stands in ${…}.
    resolveTask: ({ definition, scope }) =>
      checkTask(definition as CheckTask, cli, variable('file'), definition, scope),
  });
}

/** `open` is the plan to be checked where the task names none. */
function checkTask(
  task: CheckTask,
  cli: string,
  open: string,
  definition = { ...task },
  scope: Task['scope'] = TaskScope.Workspace,
) {
  const file = task.file ?? open;
  // The editor's own Node runs it, so nothing needs to be installed or found on the PATH.
  const run = new ProcessExecution(process.execPath, [cli, 'check', '--quiet', file], {
    cwd: variable('workspaceFolder'),
    env: { ELECTRON_RUN_AS_NODE: '1', NO_COLOR: '1' },
  });
  const name = task.file === undefined ? l10n.t('check the open plan') : l10n.t('check {0}', task.file);
  return new Task(definition, scope, name, type, run, '$festoon');
}

const variable = (name: string): string => ['$', '{', name, '}'].join('');
