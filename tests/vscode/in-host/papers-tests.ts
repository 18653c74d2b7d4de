/** Papers written from the editor, through the editor's own file systems. */
import assert from 'node:assert/strict';
import { commands, Uri, workspace } from 'vscode';
import { openPlan } from './plans.ts';

export const papersTests: Record<string, () => Promise<void>> = {
  'the papers of a plan are written where the person chooses': async () => {
    await openPlan();
    const [folder] = workspace.workspaceFolders ?? [];
    assert.ok(folder);
    const papers = Uri.joinPath(folder.uri, 'papers');
    await commands.executeCommand('festoon.writePapers', papers);
    const names = (await workspace.fs.readDirectory(papers)).map(([name]) => name);
    for (const name of ['report.html', 'labels.html', 'wiring.svg', 'site.svg', 'parts.csv'])
      assert.ok(names.includes(name), names.join());
    const report = new TextDecoder().decode(await workspace.fs.readFile(Uri.joinPath(papers, 'report.html')));
    assert.match(report, /A plan for the editor tests/);
    assert.match(report, /licensed electrician/);
    await workspace.fs.delete(papers, { recursive: true });
  },
};
