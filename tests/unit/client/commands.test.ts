/** Commands in an editor of which only as much is there as they use. */
import { describe, expect, it, vi } from 'vitest';
import type { LogOutputChannel } from 'vscode';
import { type RunningServer, registerCommands } from '../../../client/src/commands.ts';

const editor = vi.hoisted(() => ({
  registered: new Map<string, () => Promise<void>>(),
  asked: [] as unknown[][],
  fault: undefined as Error | undefined,
  CancellationError: class extends Error {},
}));

vi.mock('vscode', () => ({
  CancellationError: editor.CancellationError,
  commands: {
    registerCommand: (name: string, run: () => Promise<void>) => editor.registered.set(name, run),
    executeCommand: async (...asked: unknown[]) => {
      editor.asked.push(asked);
      if (editor.fault !== undefined) throw editor.fault;
    },
  },
}));
vi.mock('../../../client/src/open-plan.ts', () => ({ openPlan: () => ({ uri: 'file:///display/plan.festoon' }) }));
vi.mock('../../../client/src/contents.ts', () => ({ showNetlist: undefined, showPapers: undefined }));
vi.mock('../../../client/src/explanations.ts', () => ({ explain: undefined }));
vi.mock('../../../client/src/new-plan.ts', () => ({ newPlan: undefined }));
vi.mock('../../../client/src/write-papers.ts', () => ({ writePapers: undefined }));

describe('injection for the whole display', () => {
  registerCommands({} as RunningServer, {} as LogOutputChannel);
  const plan = () => editor.registered.get('festoon.planInjection')?.();

  it('is asked of the server, for the plan that is open', async () => {
    await plan();
    expect(editor.asked).toEqual([['festoon.plan', { uri: 'file:///display/plan.festoon' }]]);
  });

  it('is no fault where a person has cancelled it; any other fault is told', async () => {
    editor.fault = new editor.CancellationError();
    await expect(plan()).resolves.toBeUndefined();
    editor.fault = new Error('the server is gone');
    await expect(plan()).rejects.toThrow('the server is gone');
  });
});
