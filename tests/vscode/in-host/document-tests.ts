/** What the editor asks of a document as it shows it, and the documents and tasks that are made of a plan. */
import assert from 'node:assert/strict';
import {
  type CodeAction,
  commands,
  type DocumentHighlight,
  type DocumentLink,
  type FoldingRange,
  type Location,
  type LocationLink,
  languages,
  Range,
  type SelectionRange,
  type SemanticTokens,
  type SemanticTokensLegend,
  type SymbolInformation,
  type TextEdit,
  tasks,
  Uri,
  WorkspaceEdit,
  window,
  workspace,
} from 'vscode';
import { longRunPlan } from '../../support/long-run-plan.ts';
import { codeOf, codes, openPlan, placeOf, until } from './plans.ts';

const ask = <T>(command: string, ...args: unknown[]) => commands.executeCommand<T>(`vscode.${command}`, ...args);

const nameOf = (uri: Uri) => uri.path.split('/').at(-1);

/** Puts a text in the place of another, lets something be done, and takes it back. */
async function changed(from: string, to: string, body: () => Promise<void>): Promise<void> {
  const document = await openPlan();
  const start = placeOf(document, from);
  const edit = new WorkspaceEdit();
  edit.replace(document.uri, new Range(start, document.positionAt(document.offsetAt(start) + from.length)), to);
  assert.ok(await workspace.applyEdit(edit));
  try {
    await body();
  } finally {
    await window.showTextDocument(document);
    await commands.executeCommand('workbench.action.files.revert');
  }
}

export const documentTests: Record<string, () => Promise<void>> = {
  'a use line is a link, and blocks and comments fold': async () => {
    const document = await openPlan();
    const links = await ask<DocumentLink[]>('executeLinkProvider', document.uri);
    assert.ok(links.some(({ target }) => target !== undefined && nameOf(target) === 'parts.festoon'));
    const folds = await ask<FoldingRange[]>('executeFoldingRangeProvider', document.uri);
    const run = placeOf(document, 'run eaves').line;
    assert.ok(folds.some(({ start, end }) => start === run && end === run + 2));
  },

  'a selection grows from the word to the line to the block': async () => {
    const document = await openPlan();
    const [selection] = await ask<SelectionRange[]>('executeSelectionRangeProvider', document.uri, [
      placeOf(document, '100 px'),
    ]);
    const texts: string[] = [];
    for (let at = selection; at !== undefined; at = at.parent) texts.push(document.getText(at.range));
    assert.ok(texts.includes('100 px'), texts.join(' | '));
    assert.ok(texts.some((text) => text.startsWith('run eaves') && text.endsWith('}')));
  },

  'names are found everywhere, and renamed in both files': async () => {
    const document = await openPlan();
    const at = placeOf(document, 'steady-12', 2);
    const found = await ask<Location[]>('executeReferenceProvider', document.uri, at);
    assert.deepEqual(new Set(found.map(({ uri }) => nameOf(uri))), new Set(['plan.festoon', 'parts.festoon']));
    const marks = await ask<DocumentHighlight[]>('executeDocumentHighlights', document.uri, at);
    assert.equal(marks.length, 1);
    const edit = await ask<WorkspaceEdit>('executeDocumentRenameProvider', document.uri, at, 'bulb');
    assert.deepEqual(
      edit
        .entries()
        .map(([uri, edits]) => `${nameOf(uri)} ${edits.length}`)
        .sort(),
      ['parts.festoon 1', 'plan.festoon 1'],
    );
    const types = await ask<(Location | LocationLink)[]>(
      'executeTypeDefinitionProvider',
      document.uri,
      placeOf(document, 'psu', 1),
    );
    assert.deepEqual(
      types.map((each) => nameOf('targetUri' in each ? each.targetUri : each.uri)),
      ['parts.festoon'],
    );
    const symbols = await ask<SymbolInformation[]>('executeWorkspaceSymbolProvider', 'eaves');
    assert.ok(symbols.some(({ name }) => name === 'eaves'));
  },

  'names are coloured by what they are, as a whole and in part': async () => {
    const document = await openPlan();
    const legend = await ask<SemanticTokensLegend>('provideDocumentSemanticTokensLegend', document.uri);
    assert.deepEqual(legend.tokenTypes, ['class', 'namespace', 'variable', 'property']);
    const all = await ask<SemanticTokens>('provideDocumentSemanticTokens', document.uri);
    const line = document.lineAt(placeOf(document, 'run eaves').line).range;
    const some = await ask<SemanticTokens>('provideDocumentRangeSemanticTokens', document.uri, line);
    assert.ok(some.data.length > 0 && some.data.length < all.data.length);
  },

  'a line that is finished is laid out as it is typed': async () => {
    await changed('  lead    5 m  of lead-18', '  lead 5 m   of   lead-18\n', async () => {
      const document = await openPlanAsIs();
      const below = placeOf(document, '  lead 5 m').translate(1, 0);
      const options = { tabSize: 2, insertSpaces: true };
      const edits = await ask<TextEdit[]>('executeFormatOnTypeProvider', document.uri, below, '\n', options);
      assert.ok(edits.length > 0);
      assert.deepEqual(new Set(edits.map(({ range }) => range.start.line)), new Set([below.line - 1]));
    });
  },

  'one command mends every word that is only misspelt': async () => {
    await changed('of lead-18', 'off lead-18', async () => {
      const document = await openPlanAsIs();
      await codes(document.uri, ['unexpected-word', 'low-voltage']);
      await commands.executeCommand('festoon.fixAll');
      await codes(document.uri, ['low-voltage']);
      assert.match(document.getText(), / {2}of lead-18/);
    });
  },

  'injection is planned for the whole display at one command, or from its action': async () => {
    const content = longRunPlan({ strings: 10, brightness: 15, rated: 80, supplies: 2 });
    const document = await workspace.openTextDocument({ language: 'festoon', content });
    await window.showTextDocument(document);
    const found = () => languages.getDiagnostics(document.uri).map(codeOf);
    const isDark = () => found().includes('no-power');
    await until('a run without power', isDark, found);
    const offered = await ask<CodeAction[]>('executeCodeActionProvider', document.uri, new Range(0, 0, 0, 0), 'source');
    const action = offered.find(({ kind }) => kind?.value === 'source.plan.festoon');
    assert.ok(action?.command, offered.map(({ title }) => title).join('; '));
    const plans = [
      () => commands.executeCommand('festoon.planInjection'),
      () => commands.executeCommand(action.command?.command ?? '', ...(action.command?.arguments ?? [])),
    ];
    for (const plan of plans) {
      await plan();
      assert.match(document.getText(), /^feed /m);
      await until('the run has power', () => !isDark(), found);
      await commands.executeCommand('undo');
      assert.equal(document.getText(), content);
      await until('the run without power', isDark, found);
    }
    await commands.executeCommand('workbench.action.revertAndCloseActiveEditor');
  },

  'the circuit can be read as a deck, and follows the plan': async () => {
    await openPlan();
    await commands.executeCommand('festoon.showNetlist');
    const deck = window.activeTextEditor?.document;
    assert.ok(deck !== undefined && deck.uri.scheme === 'festoon-netlist', String(deck?.uri));
    assert.match(deck.getText(), /^\.options /m);
    assert.match(deck.getText(), /n_eaves_100_p/);
    await changed('100 px', '90 px', () =>
      until(
        'the shorter deck',
        () => !deck.getText().includes('n_eaves_100_p') && deck.getText().includes('n_eaves_90_p'),
        () => deck.lineCount,
      ),
    );
  },

  'the papers can be read beside the plan, and follow it': async () => {
    await openPlan();
    await commands.executeCommand('festoon.showPapers');
    const opened = () => workspace.textDocuments.find(({ uri }) => uri.scheme === 'festoon-papers');
    await until(
      'the papers, opened by the command',
      () => opened() !== undefined,
      () => workspace.textDocuments.map(({ uri }) => String(uri)),
    );
    const papers = opened();
    assert.ok(papers !== undefined);
    const text = papers.getText();
    for (const word of ['# Parts list', '# Cut list', '# Order of work', 'eaves']) assert.ok(text.includes(word), word);
    // A label of the plan stays a text.
    assert.doesNotMatch(text.replaceAll(/\\./g, ''), /!\[/);
    assert.doesNotMatch(text, /\b90\b/);
    await changed('100 px', '90 px', () =>
      until(
        'papers of 90 pixels',
        () => /\b90\b/.test(papers.getText()),
        () => papers.lineCount,
      ),
    );
    await commands.executeCommand('workbench.action.closeActiveEditor');
  },

  'the task finds what the editor finds, and does not say it again in the Problems panel': async () => {
    const document = await openPlan();
    await codes(document.uri, ['low-voltage']);
    const exit = new Promise<number | undefined>((resolve) => {
      const listener = tasks.onDidEndTaskProcess(({ exitCode }) => {
        listener.dispose();
        resolve(exitCode);
      });
    });
    await commands.executeCommand('festoon.check');
    assert.equal(await exit, 1);
    await codes(document.uri, ['low-voltage']);
  },
};

/** The plan with what a test has typed into it. */
async function openPlanAsIs() {
  const [folder] = workspace.workspaceFolders ?? [];
  assert.ok(folder);
  return workspace.openTextDocument(Uri.joinPath(folder.uri, 'plan.festoon'));
}
