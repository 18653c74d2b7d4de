import assert from 'node:assert/strict';
import { commands, extensions, workspace } from 'vscode';
import { documentTests } from './document-tests.ts';
import { firstClassTests } from './first-class-tests.ts';
import { languageTests } from './language-tests.ts';
import { papersTests } from './papers-tests.ts';
import { codes, openPlan } from './plans.ts';
import { testViewTests } from './test-view-tests.ts';

const extension = () => {
  const found = extensions.getExtension('festoon.festoon');
  assert.ok(found, 'the extension is installed');
  return found;
};

export const tests: Record<string, () => Promise<void>> = {
  'a plan has our language and starts the extension': async () => {
    const document = await openPlan();
    assert.equal(document.languageId, 'festoon');
    await extension().activate();
    assert.equal(extension().isActive, true);
  },

  'the extension comes from the package, not from the source tree': async () => {
    const files = await workspace.fs.readDirectory(extension().extensionUri);
    const names = files.map(([name]) => name);
    assert.ok(names.includes('dist'), names.join());
    assert.ok(!names.includes('server') && !names.includes('node_modules'), names.join());
  },

  'plans get our editor defaults': async () => {
    const document = await openPlan();
    const settings = workspace.getConfiguration('editor', document);
    assert.equal(settings.get('formatOnSave'), false);
    assert.equal(settings.get('inlayHints.enabled'), 'on');
    assert.equal(settings.get('semanticHighlighting.enabled'), true);
    assert.equal(settings.get('tabSize'), 2);
  },

  'every command of the manifest can be run': async () => {
    await extension().activate();
    const present = new Set(await commands.getCommands(true));
    const declared: { command: string }[] = extension().packageJSON.contributes.commands;
    assert.ok(declared.length > 0);
    for (const { command } of declared) assert.ok(present.has(command), command);
  },

  'the server can be restarted': async () => {
    const document = await openPlan();
    await codes(document.uri, ['low-voltage']);
    await commands.executeCommand('festoon.restartServer');
    await codes(document.uri, ['low-voltage']);
  },

  ...languageTests,
  ...firstClassTests,
  ...documentTests,
  ...testViewTests,
  ...papersTests,
};
