/** The view of the power in an editor of which only as much is there as it uses, and with a clock that the test moves. */
import { afterEach, beforeEach, describe, expect, it, vi } from 'vitest';
import type { TreeDataProvider, TreeItem } from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { powerView } from '../../../client/src/power-view.ts';

const editor = vi.hoisted(() => {
  const listeners = new Map<string, ((event?: unknown) => void)[]>();
  const on = (name: string) => (listener: (event?: unknown) => void) => {
    listeners.set(name, [...(listeners.get(name) ?? []), listener]);
    return { dispose: () => undefined };
  };
  const tell = (name: string, event?: unknown) => {
    for (const listener of listeners.get(name) ?? []) listener(event);
  };
  const view = { visible: true, description: '', onDidChangeVisibility: on('visibility'), dispose: () => undefined };
  const window = {
    activeTextEditor: undefined as object | undefined,
    visibleTextEditors: [],
    provider: undefined as unknown,
    createTreeView: (_: string, { treeDataProvider }: { treeDataProvider: unknown }) => {
      window.provider = treeDataProvider;
      return view;
    },
    onDidChangeActiveTextEditor: on('editor'),
  };
  return { listeners, on, tell, view, window };
});

vi.mock('vscode', () => ({
  window: editor.window,
  workspace: {
    createFileSystemWatcher: () => ({
      onDidChange: editor.on('changed'),
      onDidCreate: editor.on('created'),
      onDidDelete: editor.on('deleted'),
      dispose: () => undefined,
    }),
    onDidChangeTextDocument: editor.on('text'),
    onDidCloseTextDocument: editor.on('close'),
  },
  EventEmitter: class {
    event = editor.on('tree');
    fire = () => editor.tell('tree');
  },
  ThemeIcon: class {},
  ThemeColor: class {},
  MarkdownString: class {
    value = '';
    appendText = (text: string) => this.appendMarkdown(`escaped(${text})`);
    appendMarkdown(text: string) {
      this.value += text;
      return this;
    }
  },
  TreeItem: class {},
  TreeItemCollapsibleState: {},
  l10n: { t: (text: string) => text },
}));

interface Row {
  readonly label: string;
}

const plan = { languageId: 'festoon', uri: { scheme: 'file', path: '/display/plan.festoon' }, isClosed: false };
const notes = { ...plan, languageId: 'markdown' };
const RANGE = { start: { line: 3, character: 4 }, end: { line: 3, character: 9 } };
const row = { id: 'run eaves', kind: 'run', label: 'eaves', description: '6.00 A', spoken: 'run eaves: 6.00 A' };
const place = { uri: 'file:///display/plan.festoon', range: RANGE };

/** What is asked of the server, in its order; and what it answers. */
let asked: string[];
let answer: () => object | null | Promise<object>;
let provider: TreeDataProvider<Row>;
let rows: Row[] | null | undefined;

const bring = (document: object | undefined) => {
  editor.window.activeTextEditor = document === undefined ? undefined : { document };
  editor.tell('editor');
};
/** The editor asks for the rows when it is told that they have changed. */
const look = async () => {
  rows = await provider.getChildren();
};
/** More than the pause that the view waits for. */
const pause = () => vi.advanceTimersByTimeAsync(10_000);

beforeEach(async () => {
  vi.useFakeTimers();
  editor.listeners.clear();
  Object.assign(editor.view, { visible: true, description: '' });
  [asked, answer] = [[], () => ({ plan: place.uri, title: 'Quay', nodes: [{ ...row, messages: [], children: [] }] })];
  const client = {
    sendRequest: async (method: string) => {
      asked.push(method);
      return method === 'festoon/power' ? answer() : {};
    },
    onDidChangeState: editor.on('state'),
    code2ProtocolConverter: { asUri: String },
    protocol2CodeConverter: {
      asHover: () => ({ contents: [{ value: 'card' }] }),
      asLocation: (location: object) => location,
    },
  };
  bring(plan);
  powerView(client as unknown as BaseLanguageClient);
  provider = editor.window.provider as TreeDataProvider<Row>;
  editor.on('tree')(() => void look());
  await look();
  asked = [];
});
afterEach(() => {
  vi.useRealTimers();
});

describe('the view of the power', () => {
  it('asks once when typing pauses, and not while it goes on', async () => {
    for (let key = 0; key < 5; key++) {
      editor.tell('text', { document: plan });
      await vi.advanceTimersByTimeAsync(100);
    }
    expect(asked).toEqual([]);
    await pause();
    expect(asked).toEqual(['festoon/power']);
  });

  it('asks nothing for texts that are no plans that are worked on', async () => {
    editor.tell('text', { document: notes });
    editor.tell('text', { document: { ...plan, uri: { scheme: 'git', path: plan.uri.path } } });
    await pause();
    expect(asked).toEqual([]);
  });

  it('costs nothing while it is hidden, and catches up when it is shown', async () => {
    editor.view.visible = false;
    editor.tell('visibility');
    editor.tell('text', { document: plan });
    editor.tell('changed');
    expect(vi.getTimerCount()).toBe(0);
    editor.view.visible = true;
    editor.tell('visibility');
    await pause();
    expect(asked).toEqual(['festoon/power']);
    // Nothing has changed since.
    editor.tell('visibility');
    await pause();
    expect(asked).toEqual(['festoon/power']);
  });

  it('follows a file that another program changes, and a server that starts anew', async () => {
    const events = ['changed', 'created', 'deleted', 'state'];
    for (const event of events) {
      editor.tell(event);
      await pause();
    }
    expect(asked).toEqual(events.map(() => 'festoon/power'));
  });

  it('keeps the plan while other texts are in front, until it is closed', async () => {
    bring(notes);
    await pause();
    expect(asked).toEqual([]);
    expect([rows?.length, editor.view.description]).toEqual([1, 'Quay']);
    const closed = { ...plan, isClosed: true };
    bring(closed);
    await pause();
    bring(undefined);
    editor.tell('close', closed);
    await pause();
    expect([rows, editor.view.description]).toEqual([[], '']);
  });

  it('shows what stands while there is no answer, and the name of the file where the plan has none', async () => {
    answer = () => {
      throw new Error('the text has changed');
    };
    editor.tell('text', { document: plan });
    await pause();
    expect([asked, rows?.length]).toEqual([['festoon/power'], 1]);
    answer = () => ({ plan: place.uri, nodes: [] });
    editor.tell('text', { document: plan });
    await pause();
    expect([rows, editor.view.description]).toEqual([[], 'plan.festoon']);
  });

  it('shows what was asked for last, also where an older answer comes later', async () => {
    let late: (title: string) => void = () => undefined;
    answer = () =>
      new Promise((resolve) => {
        late = (title) => resolve({ plan: place.uri, title, nodes: [] });
      });
    editor.tell('text', { document: plan });
    await pause();
    answer = () => ({ plan: place.uri, title: 'Newer', nodes: [{ ...row, messages: [], children: [] }] });
    editor.tell('text', { document: plan });
    await pause();
    late('Older');
    await pause();
    expect([rows?.length, editor.view.description]).toEqual([1, 'Newer']);
  });

  it('leads to the word, and says a row as the server has it', () => {
    const item = provider.getTreeItem({ ...row, place, messages: [], children: [] } as Row) as TreeItem;
    expect(item.command).toMatchObject({ command: 'vscode.open', arguments: [place.uri, { selection: RANGE }] });
    expect(item.accessibilityInformation).toEqual({ label: 'run eaves: 6.00 A' });
    expect(item.id).toBe('run eaves');
  });

  it('tells what is wrong and then what its word tells, which it asks for only when it is pointed at', async () => {
    const tip = async (more: object) => {
      const node = { ...row, messages: [], children: [], ...more } as Row;
      const item = await provider.resolveTreeItem?.({} as TreeItem, node, undefined as never);
      return (item?.tooltip as { value: string } | undefined)?.value;
    };
    expect(asked).toEqual([]);
    // What the plan says is text; the card is marked up by the server.
    expect(await tip({ place, messages: ['eaves sags'] })).toBe('escaped(eaves sags)\n\ncard');
    expect(asked).toEqual(['textDocument/hover']);
    expect(await tip({ kind: 'output', place, messages: ['fuse'] })).toBe('escaped(fuse)\n\n');
    expect(await tip({ kind: 'runs' })).toBeUndefined();
    expect(asked).toEqual(['textDocument/hover']);
  });
});
