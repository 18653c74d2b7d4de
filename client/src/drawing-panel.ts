/** A panel beside the editor in which the plan is drawn. It knows nothing of plans: the server draws, the panel shows. */
import {
  commands,
  type Disposable,
  type ExtensionContext,
  l10n,
  Range,
  Selection,
  type TextEditor,
  TextEditorRevealType,
  Uri,
  ViewColumn,
  type WebviewPanel,
  window,
  workspace,
} from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { isPlan, planEditor } from './open-plan.ts';

const TYPE = 'festoon.drawing';
/** Waits for a pause in typing, ms. */
const PAUSE = 200;

/** Says nothing, where there is only a reason to read. */
const EMPTY = { columns: [], rows: [] };

type View = 'wiring' | 'run' | 'site' | 'review';

export function drawings(context: ExtensionContext, client: BaseLanguageClient): Disposable[] {
  let shown: DrawingPanel | undefined;
  const attach = (panel: WebviewPanel) => {
    shown?.dispose();
    const made = new DrawingPanel(context, client, panel);
    shown = made;
    panel.onDidDispose(() => {
      if (shown === made) shown = undefined;
    });
  };
  const show = (view?: View) => {
    if (shown === undefined) {
      const place = { viewColumn: ViewColumn.Beside, preserveFocus: true };
      attach(window.createWebviewPanel(TYPE, l10n.t('Festoon Drawing'), place, optionsOf(context)));
    } else shown.reveal();
    if (view !== undefined) shown?.turnTo(view);
  };
  return [
    commands.registerCommand('festoon.showDrawing', () => show()),
    commands.registerCommand('festoon.showChanges', () => show('review')),
    window.registerWebviewPanelSerializer(TYPE, {
      deserializeWebviewPanel: async (panel) => {
        panel.webview.options = optionsOf(context);
        attach(panel);
      },
    }),
  ];
}

function optionsOf(context: ExtensionContext) {
  const folders = ['dist', 'client/media'].map((path) => Uri.joinPath(context.extensionUri, path));
  return { enableScripts: true, localResourceRoots: folders };
}

class DrawingPanel {
  private readonly client: BaseLanguageClient;
  private readonly panel: WebviewPanel;
  private readonly disposables: Disposable[] = [];
  private view: View = 'wiring';
  private run: string | undefined;
  private width = 900;
  /** The panel has spoken, so it hears what is said to it. */
  private isReady = false;
  private wanted: View | undefined;
  /** The editor whose plan is drawn: the last one with a plan in it. */
  private editor: TextEditor | undefined;
  private wasVisible = true;
  private timer: ReturnType<typeof setTimeout> | undefined;
  /** Answers that come late are of no use. */
  private asked = 0;

  constructor(context: ExtensionContext, client: BaseLanguageClient, panel: WebviewPanel) {
    this.client = client;
    this.panel = panel;
    this.editor = planEditor();
    panel.webview.html = page(context, panel);
    this.disposables.push(
      panel.webview.onDidReceiveMessage((message: unknown) => this.receive(message)),
      workspace.onDidChangeTextDocument(({ document }) => {
        if (isPlan(document)) this.drawSoon();
      }),
      window.onDidChangeActiveTextEditor(() => {
        this.editor = planEditor() ?? this.editor;
        this.drawSoon();
      }),
      window.onDidChangeTextEditorSelection(({ textEditor }) => this.sendCursor(textEditor)),
      panel.onDidChangeViewState(() => {
        // It hears nothing while it is hidden; that it gains or loses the focus changes nothing.
        if (panel.visible && !this.wasVisible) this.drawSoon();
        this.wasVisible = panel.visible;
      }),
      panel.onDidDispose(() => this.dispose()),
    );
  }

  reveal(): void {
    this.panel.reveal(undefined, true);
  }

  /** Turns the panel to another view; one that is still loading, as soon as it speaks. */
  turnTo(view: View): void {
    this.wanted = view;
    if (this.isReady) this.turn();
  }

  private turn(): void {
    const view = this.wanted;
    this.wanted = undefined;
    void this.panel.webview.postMessage({ type: 'view', view });
  }

  dispose(): void {
    clearTimeout(this.timer);
    for (const each of this.disposables.splice(0)) each.dispose();
    this.panel.dispose();
  }

  /** What comes out of the panel is looked at before it is believed. */
  private receive(message: unknown): void {
    if (!isRecord(message)) return;
    if (message['type'] === 'show' && isView(message['view'])) {
      this.view = message['view'];
      this.run = typeof message['run'] === 'string' ? message['run'] : undefined;
      if (isCount(message['width'])) this.width = message['width'];
      this.isReady = true;
      if (this.wanted !== undefined) this.turn();
      else void this.draw();
    } else if (message['type'] === 'reveal') {
      void revealPlace(message['place']);
    }
  }

  /** A panel that nobody sees costs nothing; it catches up when it is shown. */
  private drawSoon(): void {
    clearTimeout(this.timer);
    if (!this.panel.visible) return;
    this.timer = setTimeout(() => void this.draw(), PAUSE);
  }

  private async draw(): Promise<void> {
    const number = ++this.asked;
    const { editor } = this;
    if (this.view === 'review' && editor !== undefined) return this.review(editor, number);
    const drawing =
      editor === undefined
        ? null
        : await this.client.sendRequest('festoon/drawing', {
            textDocument: { uri: this.client.code2ProtocolConverter.asUri(editor.document.uri) },
            view: this.view,
            run: this.run,
            width: this.width,
            position: this.client.code2ProtocolConverter.asPosition(editor.selection.active),
          });
    if (number !== this.asked) return;
    await this.panel.webview.postMessage({ type: 'drawing', view: this.view, drawing });
    if (editor !== undefined) this.sendCursor(editor);
  }

  /** What the plan's change since the last commit does. */
  private async review(editor: TextEditor, number: number): Promise<void> {
    const textDocument = { uri: this.client.code2ProtocolConverter.asUri(editor.document.uri) };
    const answer = await this.client.sendRequest<{ paper?: object; reason?: string }>('festoon/review', {
      textDocument,
    });
    if (number !== this.asked) return;
    const sheet = answer.paper ?? {
      title: l10n.t('What this change does'),
      intro: answer.reason ?? '',
      tables: [EMPTY],
    };
    await this.panel.webview.postMessage({ type: 'sheet', view: this.view, sheet });
  }

  private sendCursor(editor: TextEditor): void {
    if (!isPlan(editor.document)) return;
    const uri = this.client.code2ProtocolConverter.asUri(editor.document.uri);
    void this.panel.webview.postMessage({ type: 'cursor', uri, line: editor.selection.active.line });
  }
}

async function revealPlace(place: unknown): Promise<void> {
  if (!isRecord(place) || typeof place['uri'] !== 'string' || !isRecord(place['range'])) return;
  const [start, end] = [place['range']['start'], place['range']['end']];
  if (!isSpot(start) || !isSpot(end)) return;
  const uri = Uri.parse(place['uri'], true);
  // Only plans are opened from here, whatever the panel says.
  if (!uri.path.endsWith('.festoon')) return;
  const range = new Range(start.line, start.character, end.line, end.character);
  const visible = window.visibleTextEditors.find(({ document }) => document.uri.toString() === uri.toString());
  const editor = await window.showTextDocument(uri, { viewColumn: visible?.viewColumn ?? ViewColumn.One });
  editor.selection = new Selection(range.start, range.end);
  editor.revealRange(range, TextEditorRevealType.InCenterIfOutsideViewport);
}

const isRecord = (value: unknown): value is Record<string, unknown> => typeof value === 'object' && value !== null;
const isView = (value: unknown): value is View =>
  value === 'wiring' || value === 'run' || value === 'site' || value === 'review';

function isSpot(value: unknown): value is { line: number; character: number } {
  return isRecord(value) && isCount(value['line']) && isCount(value['character']);
}

const isCount = (value: unknown): value is number => typeof value === 'number' && Number.isInteger(value) && value >= 0;

function page({ extensionUri }: ExtensionContext, { webview }: WebviewPanel): string {
  const nonce = [...crypto.getRandomValues(new Uint8Array(16))]
    .map((byte) => byte.toString(16).padStart(2, '0'))
    .join('');
  const script = webview.asWebviewUri(Uri.joinPath(extensionUri, 'dist', 'drawing.js'));
  const style = webview.asWebviewUri(Uri.joinPath(extensionUri, 'client', 'media', 'drawing.css'));
  const policy = `default-src 'none'; style-src ${webview.cspSource}; script-src 'nonce-${nonce}'`;
  return `<!DOCTYPE html>
<html lang="en">
<head>
<meta charset="utf-8">
<meta http-equiv="Content-Security-Policy" content="${policy}">
<meta name="viewport" content="width=device-width, initial-scale=1">
<title>Festoon Drawing</title>
<link rel="stylesheet" href="${style}">
</head>
<body>
<script nonce="${nonce}" src="${script}"></script>
</body>
</html>`;
}
