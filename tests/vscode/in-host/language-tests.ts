/** What the language server does, asked through the editor's own commands. */
import assert from 'node:assert/strict';
import {
  type CodeAction,
  type CompletionList,
  commands,
  type DocumentSymbol,
  type Hover,
  type InlayHint,
  type Location,
  type LocationLink,
  languages,
  MarkdownString,
  Position,
  Range,
  type SymbolInformation,
  type TextDocument,
  type TextEdit,
  Uri,
  WorkspaceEdit,
  workspace,
} from 'vscode';
import { MemoryFiles } from './memory-files.ts';
import { codes, open, openPlan, placeOf } from './plans.ts';

const ask = <T>(command: string, ...args: unknown[]) => commands.executeCommand<T>(`vscode.${command}`, ...args);

async function hoverText(document: TextDocument, at: Position): Promise<string> {
  const hovers = await ask<Hover[]>('executeHoverProvider', document.uri, at);
  const contents = hovers.flatMap((hover) => hover.contents);
  for (const content of contents) {
    if (content instanceof MarkdownString)
      assert.ok(!content.isTrusted && !content.supportHtml, 'a hover is never trusted');
  }
  return contents.map((content) => (typeof content === 'string' ? content : content.value)).join('\n');
}

async function applyEdits(uri: Uri, edits: readonly TextEdit[]): Promise<void> {
  const change = new WorkspaceEdit();
  change.set(uri, [...edits]);
  assert.ok(await workspace.applyEdit(change));
}

const fixesFor = (document: TextDocument, range: Range) =>
  ask<CodeAction[]>('executeCodeActionProvider', document.uri, range, 'quickfix', 10);

export const languageTests: Record<string, () => Promise<void>> = {
  'a warning stands on the string that sags, with the other places': async () => {
    const document = await openPlan();
    const [warning] = await codes(document.uri, ['low-voltage']);
    assert.ok(warning);
    assert.equal(document.getText(warning.range), 'gutter');
    assert.match(warning.message, /eaves sags to 9\.\d\d V at pixel 100/);
    assert.ok((warning.relatedInformation ?? []).length > 0);
  },

  'a hover draws the voltage, and a label cannot make it fetch or run anything': async () => {
    const document = await openPlan();
    const text = await hoverText(document, placeOf(document, 'run eaves', 5));
    assert.match(text, /!\[[^\]]*\]\(data:image\/svg\+xml;base64,/);
    assert.match(text, /label/);
    assert.doesNotMatch(text.replaceAll(/\\./g, ''), /\]\((?:https?|command):/);
  },

  'a part is found in the other file': async () => {
    const document = await openPlan();
    const found = await ask<(Location | LocationLink)[]>(
      'executeDefinitionProvider',
      document.uri,
      placeOf(document, 'steady-12', 3),
    );
    const targets = found.map((each) => ('targetUri' in each ? each.targetUri : each.uri).path.split('/').pop());
    assert.deepEqual(targets, ['parts.festoon']);
  },

  'the outline names what is declared': async () => {
    const document = await openPlan();
    const symbols = await ask<(DocumentSymbol | SymbolInformation)[]>('executeDocumentSymbolProvider', document.uri);
    const names = symbols.map(({ name }) => name);
    for (const name of ['psu', 'box', 'eaves']) assert.ok(names.includes(name), names.join());
  },

  'completion knows the parts of the other file': async () => {
    const document = await openPlan();
    const list = await ask<CompletionList>(
      'executeCompletionItemProvider',
      document.uri,
      placeOf(document, 'steady-12'),
    );
    const labels = list.items.map(({ label }) => (typeof label === 'string' ? label : label.label));
    assert.ok(labels.includes('steady-12'), labels.join());
    assert.ok(!labels.includes('feed-14'), 'a cable is not offered where a pixel is due');
  },

  'formatting settles a ragged line and then has nothing to do': async () => {
    const document = await openPlan();
    const before = document.getText();
    const line = document.lineAt(placeOf(document, 'lead ').line);
    await applyEdits(document.uri, [{ range: line.range, newText: '  lead  \t  5 m   of lead-18  ' }]);
    const options = { tabSize: 2, insertSpaces: true };
    const format = () => ask<TextEdit[] | undefined>('executeFormatDocumentProvider', document.uri, options);
    await applyEdits(document.uri, (await format()) ?? []);
    assert.equal(document.getText(), before);
    assert.deepEqual((await format()) ?? [], []);
  },

  'the preferred fix mends the run and is not offered again': async () => {
    const document = await openPlan();
    const [warning] = await codes(document.uri, ['low-voltage']);
    assert.ok(warning);
    const fixes = await fixesFor(document, warning.range);
    const preferred = fixes.filter(({ isPreferred }) => isPreferred === true);
    assert.equal(preferred.length, 1, fixes.map(({ title }) => title).join('; '));
    assert.match(preferred[0]?.title ?? '', /^Inject at /);
    assert.ok(preferred[0]?.edit);
    assert.ok(await workspace.applyEdit(preferred[0].edit));
    await codes(document.uri, []);
    assert.match(document.getText(), /^feed .+ from psu\.\d/m);
    assert.deepEqual(await fixesFor(document, warning.range), []);
    await commands.executeCommand('undo');
    await codes(document.uri, ['low-voltage']);
  },

  'what is wrong while typing is said while typing, and goes with its cause': async () => {
    const document = await openPlan();
    const at = placeOf(document, '40 fps', 2);
    await applyEdits(document.uri, [{ range: new Range(at, at.translate(0, 4)), newText: '' }]);
    await codes(document.uri, ['missing-unit', 'low-voltage']);
    await commands.executeCommand('undo');
    await codes(document.uri, ['low-voltage']);
  },

  'computed values stand beside the text': async () => {
    const document = await openPlan();
    const whole = new Range(new Position(0, 0), document.lineAt(document.lineCount - 1).range.end);
    const hints = await ask<InlayHint[]>('executeInlayHintProvider', document.uri, whole);
    const texts = hints.map(({ label }) =>
      typeof label === 'string' ? label : label.map(({ value }) => value).join(''),
    );
    assert.ok(
      texts.some((text) => /9\.\d+ V/.test(text)),
      texts.join('; '),
    );
  },

  'a plan on a file system of the editor is checked with the files it uses': async () => {
    const [plan, parts] = await Promise.all(
      ['plan.festoon', 'parts.festoon'].map(async (name) => (await openPlan(name)).getText()),
    );
    await withFiles({ '/plan.festoon': plan ?? '', '/parts.festoon': parts ?? '' }, async (folder) => {
      const document = await open(Uri.joinPath(folder, 'plan.festoon'));
      assert.equal(document.languageId, 'festoon');
      await codes(document.uri, ['low-voltage']);
    });
  },

  'nothing is said of an earlier version that the editor shows beside a plan': async () => {
    // The scheme under which the editor compares with what is saved.
    const provider = workspace.registerTextDocumentContentProvider('showModifications', {
      provideTextDocumentContent: () => 'place shed "Tool shed"\nuse "parts.festoon"\n',
    });
    try {
      const earlier = await workspace.openTextDocument(Uri.parse('showModifications:/shown/plan.festoon'));
      assert.equal(earlier.languageId, 'festoon');
      const hovers = await ask<Hover[]>('executeHoverProvider', earlier.uri, placeOf(earlier, 'shed', 1));
      assert.deepEqual(hovers, []);
      assert.deepEqual(languages.getDiagnostics(earlier.uri), []);
    } finally {
      provider.dispose();
    }
  },

  'files that are missing, no text, empty or used in a circle are told apart, and the rest is served': async () => {
    const uses = ['gone', 'bytes', 'empty', 'circle'].map((name) => `use "${name}.festoon"\n`).join('');
    const files = {
      '/plan.festoon': `plan "Bad files"\n\n${uses}\nplace shed "Tool shed"\n`,
      '/bytes.festoon': Uint8Array.of(0, 255, 254, 128, 10, 192, 0),
      '/empty.festoon': '',
      '/circle.festoon': 'use "plan.festoon"\n',
    };
    await withFiles(files, async (folder) => {
      const document = await open(Uri.joinPath(folder, 'plan.festoon'));
      const found = await codes(document.uri, ['missing-file', 'missing-file']);
      assert.deepEqual(
        found.map(({ range }) => document.getText(range)),
        ['"gone.festoon"', '"bytes.festoon"'],
      );
      const circle = await open(Uri.joinPath(folder, 'circle.festoon'));
      await codes(circle.uri, ['file-cycle']);
      assert.match(await hoverText(document, placeOf(document, 'shed', 1)), /Tool shed/);
    });
    await codes((await openPlan()).uri, ['low-voltage']);
  },
};

/** Runs `body` with files that only the editor can read; `folder` is where they are. */
async function withFiles(files: Readonly<Record<string, string | Uint8Array>>, body: (folder: Uri) => Promise<void>) {
  const registration = workspace.registerFileSystemProvider(`festoon-test-${++memories}`, new MemoryFiles(files));
  try {
    await body(Uri.parse(`festoon-test-${memories}://memory/`));
  } finally {
    registration.dispose();
  }
}

let memories = 0;
