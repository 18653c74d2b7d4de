import assert from 'node:assert/strict';
import { execFileSync } from 'node:child_process';
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

/** Processes of our server that this extension host has started. */
function servers(): number[] {
  const lines = execFileSync('ps', ['-A', '-o', 'pid=,ppid=,args='], { encoding: 'utf8' }).split('\n');
  return lines.flatMap((line) => {
    const [, pid, parent, args] = /^\s*(\d+)\s+(\d+)\s+(.*)$/.exec(line) ?? [];
    return Number(parent) === process.pid && args?.includes('server.cjs') ? [Number(pid)] : [];
  });
}

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
    assert.equal(settings.get('semanticHighlighting.enabled'), true);
    assert.equal(settings.get('wordBasedSuggestions'), 'off');
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

  'a server that hangs is replaced': async () => {
    const document = await openPlan();
    await codes(document.uri, ['low-voltage']);
    const [hung] = servers();
    assert.ok(hung !== undefined, 'the server is a process below this one');
    process.kill(hung, 'SIGSTOP');
    await commands.executeCommand('festoon.restartServer');
    await codes(document.uri, ['low-voltage']);
    assert.notDeepEqual(servers(), [hung]);
  },

  ...languageTests,
  ...firstClassTests,
  ...documentTests,
  ...testViewTests,
  ...papersTests,
};
