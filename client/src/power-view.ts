/**
 * The power of the plan at hand as a tree in the Explorer: supplies with what is left of them, runs with their least volts.
 * The server says what stands in it; nothing is computed here.
 */
import {
  type Command,
  type Disposable,
  EventEmitter,
  l10n,
  MarkdownString,
  type TextDocument,
  ThemeColor,
  ThemeIcon,
  type TreeDataProvider,
  TreeItem,
  TreeItemCollapsibleState,
  type TreeView,
  window,
  workspace,
} from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { isPlan, planEditor } from './open-plan.ts';

/** Waits for a pause in typing, ms: what is asked for then is computed already. */
const PAUSE = 500;

type Place = Parameters<BaseLanguageClient['protocol2CodeConverter']['asLocation']>[0];
type Hover = Parameters<BaseLanguageClient['protocol2CodeConverter']['asHover']>[0];

interface Node {
  readonly id: string;
  readonly kind: string;
  readonly label: string;
  readonly description: string;
  readonly spoken: string;
  readonly level?: string;
  readonly messages: readonly string[];
  readonly place?: NonNullable<Place>;
  readonly children: readonly Node[];
}

interface Answer {
  readonly plan: string;
  readonly title?: string;
  readonly nodes: readonly Node[];
}

export function powerView(client: BaseLanguageClient): Disposable {
  return new PowerView(client);
}

class PowerView implements TreeDataProvider<Node>, Disposable {
  private readonly client: BaseLanguageClient;
  private readonly changed = new EventEmitter<undefined>();
  readonly onDidChangeTreeData = this.changed.event;
  private readonly view: TreeView<Node>;
  private readonly disposables: Disposable[];
  private timer: ReturnType<typeof setTimeout> | undefined;
  /** Something has changed that was not asked for, since nobody saw it. */
  private isStale = false;
  /** The plan that is shown: the one at hand, or the last one that was, as long as it is open. */
  private document: TextDocument | undefined;
  private shown: readonly Node[] = [];
  /** Answers that come late are of no use. */
  private asked = 0;

  constructor(client: BaseLanguageClient) {
    this.client = client;
    this.view = window.createTreeView('festoon.power', { treeDataProvider: this, showCollapseAll: true });
    const files = workspace.createFileSystemWatcher('**/*.festoon');
    const soon = () => this.refreshSoon();
    this.disposables = [
      this.view,
      this.changed,
      files,
      files.onDidChange(soon),
      files.onDidCreate(soon),
      files.onDidDelete(soon),
      workspace.onDidChangeTextDocument(({ document }) => isPlan(document) && soon()),
      workspace.onDidCloseTextDocument((document) => isPlan(document) && soon()),
      window.onDidChangeActiveTextEditor(() => this.planAtHand() !== this.document && soon()),
      client.onDidChangeState(soon),
      this.view.onDidChangeVisibility(() => this.isStale && soon()),
    ];
  }

  dispose(): void {
    clearTimeout(this.timer);
    for (const each of this.disposables) each.dispose();
  }

  getTreeItem(node: Node): TreeItem {
    return itemOf(node, this.commandFor(node));
  }

  async getChildren(node?: Node): Promise<Node[]> {
    if (node === undefined) await this.ask();
    return [...(node?.children ?? this.shown)];
  }

  /** What pointing at its name in the plan shows, below what is wrong with it; asked for when it is pointed at here. */
  async resolveTreeItem(item: TreeItem, { kind, place, messages }: Node): Promise<TreeItem> {
    const tip = new MarkdownString();
    for (const message of messages) tip.appendText(message).appendMarkdown('\n\n');
    // An output has no name to point at; all that there is to say stands in its row.
    if (place !== undefined && kind !== 'output') tip.appendMarkdown(await this.cardAt(place));
    if (tip.value !== '') item.tooltip = tip;
    return item;
  }

  private async cardAt({ uri, range }: NonNullable<Place>): Promise<string> {
    const params = { textDocument: { uri }, position: range.start };
    const hover = await this.client.sendRequest<Hover>('textDocument/hover', params).catch(() => null);
    const contents = this.client.protocol2CodeConverter.asHover(hover)?.contents ?? [];
    return contents.map((content) => (typeof content === 'object' ? content.value : content)).join('\n\n');
  }

  private refreshSoon(): void {
    clearTimeout(this.timer);
    this.isStale = true;
    // A view that nobody sees costs nothing; it catches up when it is shown.
    if (this.view.visible) this.timer = setTimeout(() => this.changed.fire(undefined), PAUSE);
  }

  private planAtHand(): TextDocument | undefined {
    return planEditor()?.document ?? (this.document?.isClosed === false ? this.document : undefined);
  }

  private async ask(): Promise<void> {
    const number = ++this.asked;
    this.isStale = false;
    const document = this.planAtHand();
    this.document = document;
    const answer = document === undefined ? null : await this.answerFor(document);
    // Without an answer the text has changed meanwhile, or the server is not there: what stands is shown until it is.
    if (answer === undefined || number !== this.asked) return;
    this.shown = answer?.nodes ?? [];
    this.view.description = answer?.title ?? document?.uri.path.split('/').at(-1) ?? '';
  }

  private async answerFor({ uri }: TextDocument): Promise<Answer | null | undefined> {
    const textDocument = { uri: this.client.code2ProtocolConverter.asUri(uri) };
    try {
      return await this.client.sendRequest<Answer | null>('festoon/power', { textDocument });
    } catch {
      return undefined;
    }
  }

  private commandFor({ place }: Node): Command | undefined {
    if (place === undefined) return undefined;
    const { uri, range } = this.client.protocol2CodeConverter.asLocation(place);
    return { title: l10n.t('Go to the Plan'), command: 'vscode.open', arguments: [uri, { selection: range }] };
  }
}

/** Marks differ by shape, and the row says in words what they mean. */
const mark = (icon: string, colour: string) => new ThemeIcon(icon, new ThemeColor(`problems${colour}Icon.foreground`));
const MARKS: ReadonlyMap<string | undefined, ThemeIcon> = new Map([
  ['error', mark('error', 'Error')],
  ['warning', mark('warning', 'Warning')],
  ['information', mark('info', 'Info')],
]);

const ICONS: Readonly<Record<string, ThemeIcon>> = {
  supply: new ThemeIcon('plug'),
  output: new ThemeIcon('circle-outline'),
  board: new ThemeIcon('server'),
  controller: new ThemeIcon('circuit-board'),
  feed: new ThemeIcon('arrow-right'),
  run: new ThemeIcon('lightbulb'),
};

function itemOf({ id, kind, label, description, spoken, level, place, children }: Node, command?: Command): TreeItem {
  const { None, Collapsed, Expanded } = TreeItemCollapsibleState;
  // Headings are open from the start; what a person has opened or closed stays so.
  const item = new TreeItem(label, children.length === 0 ? None : place === undefined ? Expanded : Collapsed);
  item.id = id;
  item.description = description;
  item.accessibilityInformation = { label: spoken };
  const icon = MARKS.get(level) ?? ICONS[kind];
  if (icon !== undefined) item.iconPath = icon;
  if (command !== undefined) item.command = command;
  return item;
}
