/** What makes the language first-class in the editor, asked through the editor's own commands. */
import assert from 'node:assert/strict';
import {
  type CallHierarchyIncomingCall,
  type CallHierarchyItem,
  type CodeAction,
  type CodeLens,
  type CompletionList,
  commands,
  Range,
  type SignatureHelp,
  type TextEdit,
  tasks,
  Uri,
  WorkspaceEdit,
  window,
  workspace,
} from 'vscode';
import { codes, openPlan, placeOf, until } from './plans.ts';

const ask = <T>(command: string, ...args: unknown[]) => commands.executeCommand<T>(`vscode.${command}`, ...args);

export const firstClassTests: Record<string, () => Promise<void>> = {
  'a line says what it takes while it is written': async () => {
    const document = await openPlan();
    const help = await ask<SignatureHelp>(
      'executeSignatureHelpProvider',
      document.uri,
      placeOf(document, 'of lead-18'),
    );
    assert.match(help.signatures[0]?.label ?? '', /^lead \[LENGTH\] {2}of CABLE/);
  },

  'completion leads to the other file': async () => {
    const document = await openPlan();
    const list = await ask<CompletionList>(
      'executeCompletionItemProvider',
      document.uri,
      placeOf(document, 'parts.fest'),
    );
    assert.deepEqual(
      list.items.map(({ label }) => (typeof label === 'string' ? label : label.label)),
      ['parts.festoon'],
    );
  },

  'lenses tell what is joined to what, and lead there': async () => {
    const document = await openPlan();
    await codes(document.uri, ['low-voltage']);
    const lenses = await ask<CodeLens[]>('executeCodeLensProvider', document.uri);
    const over = lenses.find(({ command }) => command?.title === 'driven by box');
    assert.ok(over?.command, lenses.map(({ command }) => command?.title).join('; '));
    await commands.executeCommand(over.command.command, ...(over.command.arguments ?? []));
    await commands.executeCommand('closeReferenceSearch');
  },

  'the way of the power is a call hierarchy': async () => {
    const document = await openPlan();
    const [run] = await ask<CallHierarchyItem[]>('prepareCallHierarchy', document.uri, placeOf(document, 'eaves', 1));
    assert.equal(run?.name, 'eaves');
    const above = await ask<CallHierarchyIncomingCall[]>('provideIncomingCalls', run);
    assert.deepEqual(
      above.map(({ from }) => from.name),
      ['box'],
    );
  },

  'a range is laid out, and nothing beside it': async () => {
    const document = await openPlan();
    const line = document.lineAt(placeOf(document, 'lead ').line);
    const messy = new WorkspaceEdit();
    messy.replace(document.uri, line.range, '  lead   5 m   of lead-18');
    await workspace.applyEdit(messy);
    const options = { tabSize: 2, insertSpaces: true };
    const range = document.lineAt(line.lineNumber).range;
    const edits = await ask<TextEdit[]>('executeFormatRangeProvider', document.uri, range, options);
    assert.deepEqual(
      edits.map(({ range: { start } }) => start.line),
      edits.map(() => line.lineNumber),
    );
    assert.ok(edits.length > 0);
    await commands.executeCommand('undo');
  },

  'a string can be made a prop': async () => {
    const document = await openPlan();
    const at = placeOf(document, 'gutter');
    const found = await ask<CodeAction[]>(
      'executeCodeActionProvider',
      document.uri,
      new Range(at, at),
      'refactor.extract',
    );
    assert.deepEqual(
      found.map(({ title }) => title),
      ['Make it a prop: gutter'],
    );
  },

  'a name that nothing has is declared, with its text to be filled in': async () => {
    const content = 'plan "one"\nplace shed\nroute shed to roof  3 m\n';
    const document = await workspace.openTextDocument({ language: 'festoon', content });
    const editor = await window.showTextDocument(document);
    await codes(document.uri, ['unknown-name']);
    const at = placeOf(document, 'roof');
    const found = await ask<CodeAction[]>('executeCodeActionProvider', document.uri, new Range(at, at), 'quickfix');
    const edit = found.find(({ title }) => title === 'Declare place roof, to be filled in')?.edit;
    assert.ok(edit, found.map(({ title }) => title).join('; '));
    assert.ok(await workspace.applyEdit(edit));
    await codes(document.uri, []);
    assert.match(document.getText(), /place shed\nplace roof "[^"]+"\nroute/);
    // What is to be filled in is selected: the text between the quotes.
    assert.equal(document.lineAt(2).text, `place roof "${document.getText(editor.selection)}"`);
    await commands.executeCommand('workbench.action.revertAndCloseActiveEditor');
  },

  'a code leads to its explanation': async () => {
    const document = await openPlan();
    const [warning] = await codes(document.uri, ['low-voltage']);
    const code = warning?.code;
    assert.ok(typeof code === 'object');
    const page = await workspace.openTextDocument(code.target);
    assert.match(page.getText(), /^# low-voltage\n/);
  },

  'New Plan asks three questions and opens a plan that is sound': async () => {
    const made = commands.executeCommand('festoon.newPlan');
    for (let question = 0; question < 3; question++) {
      await new Promise((resolve) => setTimeout(resolve, 1000));
      await commands.executeCommand('workbench.action.acceptSelectedQuickOpenItem');
    }
    await made;
    const document = window.activeTextEditor?.document;
    assert.ok(document?.isUntitled && document.languageId === 'festoon');
    assert.match(document.getText(), /plan "Winter lights"/);
    await codes(document.uri, []);
    await commands.executeCommand('workbench.action.revertAndCloseActiveEditor');
  },

  'the task check is offered for the open plan': async () => {
    await openPlan();
    const found = await tasks.fetchTasks({ type: 'festoon' });
    assert.deepEqual(
      found.map(({ name }) => name),
      ['check the open plan'],
    );
  },

  'a file that is renamed takes the paths that lead to it along': async () => {
    const [folder] = workspace.workspaceFolders ?? [];
    assert.ok(folder);
    const document = await openPlan();
    const [from, to] = ['parts.festoon', 'stock.festoon'].map((name) => Uri.joinPath(folder.uri, name));
    assert.ok(from && to);
    const move = async (a: Uri, b: Uri) => {
      const edit = new WorkspaceEdit();
      edit.renameFile(a, b);
      assert.ok(await workspace.applyEdit(edit));
    };
    await move(from, to);
    try {
      await until(
        'the path',
        () => document.getText().includes('use "stock.festoon"'),
        () => document.lineAt(6).text,
      );
      await codes(document.uri, ['low-voltage']);
    } finally {
      await move(to, from);
      await until(
        'the path back',
        () => document.getText().includes('use "parts.festoon"'),
        () => document.lineAt(6).text,
      );
      await document.save();
    }
  },
};
