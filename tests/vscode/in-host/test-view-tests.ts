/** What plans expect of themselves, in the editor's own test view: found, run, and failing with a message at the line. */
import assert from 'node:assert/strict';
import { commands, Position, type TextDocument, type Uri, WorkspaceEdit, workspace } from 'vscode';
import { openPlan, until } from './plans.ts';

/** Ids of the tests of a file, as the editor joins them: controller, plan, line. */
async function testsIn(uri: Uri): Promise<string[]> {
  const paths = await commands.executeCommand<string[][]>('vscode.testing.getTestsInFile', uri);
  return paths.filter((path) => path.length === 3).map((path) => path.join('\0'));
}

async function append(document: TextDocument, text: string): Promise<void> {
  const edit = new WorkspaceEdit();
  edit.insert(document.uri, new Position(document.lineCount, 0), text);
  assert.ok(await workspace.applyEdit(edit));
}

async function testsAre(uri: Uri, words: readonly string[]): Promise<string[]> {
  let found: string[] = [];
  const poll = setInterval(() => {
    void testsIn(uri).then((ids) => {
      found = ids;
    });
  }, 200);
  try {
    await until(
      `tests ${words.join()}`,
      () => found.length === words.length && words.every((word, index) => found[index]?.includes(word)),
      () => found,
    );
  } finally {
    clearInterval(poll);
  }
  return found;
}

/** Runs tests as the view does (2 is the group "run"); gives which of them then have an error to show. */
async function failing(ids: readonly string[]): Promise<boolean[]> {
  await commands.executeCommand('vscode.runTestsById', 2, ...ids);
  const failed: boolean[] = [];
  for (const id of ids) failed.push((await commands.executeCommand('vscode.peekTestError', id)) === true);
  await commands.executeCommand('closeMarkersNavigation');
  return failed;
}

export const testViewTests: Record<string, () => Promise<void>> = {
  'what a plan expects can be run in the test view': async () => {
    const document = await openPlan();
    await append(document, '\nexpect eaves at least 1 V\nexpect eaves at least 11.9 V\n');
    try {
      const [low, high, ...more] = await testsAre(document.uri, ['at least 1 V', 'at least 11.9 V']);
      assert.ok(low && high && more.length === 0);
      assert.deepEqual(await failing([low, high]), [false, true]);
      assert.deepEqual(await commands.executeCommand('vscode.testing.getControllersWithTests'), ['festoon']);
      await append(document, 'expect eaves at most 100 A\n');
      await testsAre(document.uri, ['at least 1 V', 'at least 11.9 V', 'at most 100 A']);
    } finally {
      await commands.executeCommand('workbench.action.files.revert');
    }
    await testsAre(document.uri, []);
  },
};
