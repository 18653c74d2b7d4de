/**
 * The expectations and readings of plans in the editor's test view. What they are and whether they hold is asked of the
 * server, one request for each plan; nothing is computed here.
 */
import {
  type Disposable,
  Location,
  l10n,
  Range,
  type TestController,
  type TestItem,
  TestMessage,
  type TestRun,
  TestRunProfileKind,
  type TestRunRequest,
  type TextDocument,
  tests,
  Uri,
  workspace,
} from 'vscode';
import type { BaseLanguageClient } from 'vscode-languageclient';
import { isPlan } from './open-plan.ts';

/** Waits for a pause in typing, ms. */
const PAUSE = 500;

/** Far more plan files than any workspace has. */
const MOST_FILES = 1000;

interface Point {
  readonly line: number;
  readonly character: number;
}

interface Outcome {
  readonly kind: string;
  readonly text: string;
  readonly computed?: string;
  readonly passed: boolean;
  readonly message?: string;
  readonly uri: string;
  readonly range: { readonly start: Point; readonly end: Point };
}

interface Answer {
  readonly plan: string;
  readonly tests: readonly Outcome[];
  readonly unread: number;
}

export function testView(client: BaseLanguageClient): Disposable[] {
  const view = new TestView(client);
  return [
    view,
    workspace.onDidOpenTextDocument((document) => view.findSoon(document)),
    workspace.onDidChangeTextDocument(({ document }) => view.findSoon(document)),
  ];
}

class TestView implements Disposable {
  private readonly client: BaseLanguageClient;
  private readonly controller: TestController;
  private readonly timers = new Map<string, ReturnType<typeof setTimeout>>();

  constructor(client: BaseLanguageClient) {
    this.client = client;
    this.controller = tests.createTestController('festoon', 'Festoon');
    this.controller.resolveHandler = async (item) => {
      if (item === undefined) await this.findAll();
    };
    this.controller.refreshHandler = () => this.findAll();
    this.controller.createRunProfile(l10n.t('Check'), TestRunProfileKind.Run, (request) => this.run(request), true);
    for (const document of workspace.textDocuments) this.findSoon(document);
  }

  dispose(): void {
    for (const timer of this.timers.values()) clearTimeout(timer);
    this.controller.dispose();
  }

  findSoon(document: TextDocument): void {
    if (!isPlan(document)) return;
    const key = document.uri.toString();
    clearTimeout(this.timers.get(key));
    this.timers.set(
      key,
      setTimeout(() => {
        this.timers.delete(key);
        void this.find(document.uri);
      }, PAUSE),
    );
  }

  private async findAll(): Promise<void> {
    const files = await workspace.findFiles('**/*.festoon', '**/node_modules/**', MOST_FILES);
    const seen = new Set<string>();
    const plans = new Set<string>();
    for (const uri of files) {
      if (seen.has(uri.toString())) continue;
      const answer = await this.find(uri);
      if (answer !== undefined) plans.add(Uri.parse(answer.plan).toString());
      for (const test of answer?.tests ?? []) seen.add(test.uri);
    }
    // What is gone from the workspace goes from the view; a plan that stands in no folder stays while it is open.
    const open = new Set(workspace.textDocuments.map(({ uri }) => uri.toString()));
    for (const [id] of this.controller.items) if (!plans.has(id) && !open.has(id)) this.controller.items.delete(id);
  }

  /** Brings the items of one plan up to date; they hang below the plan's main file. */
  private async find(uri: Uri): Promise<Answer | undefined> {
    const answer = await this.ask(uri);
    if (answer === undefined) return undefined;
    const plan = Uri.parse(answer.plan);
    const { items } = this.controller;
    // A file that belonged to no plan a moment ago may belong to one now.
    if (uri.toString() !== plan.toString()) items.delete(uri.toString());
    if (answer.tests.length === 0 && answer.unread === 0) {
      items.delete(plan.toString());
      return answer;
    }
    const parent = items.get(plan.toString()) ?? this.controller.createTestItem(plan.toString(), nameOf(plan), plan);
    parent.children.replace(withIds(answer.tests).map(([id, test]) => this.itemOf(id, test)));
    items.add(parent);
    return answer;
  }

  private itemOf(id: string, { kind, text, uri, range }: Outcome): TestItem {
    const item = this.controller.createTestItem(id, `${kind} ${text}`, Uri.parse(uri));
    item.range = rangeOf(range);
    return item;
  }

  private async ask(uri: Uri): Promise<Answer | undefined> {
    const textDocument = { uri: this.client.code2ProtocolConverter.asUri(uri) };
    try {
      return (await this.client.sendRequest<Answer | null>('festoon/tests', { textDocument })) ?? undefined;
    } catch {
      // The text has changed meanwhile, or the server is not there; the next change asks again.
      return undefined;
    }
  }

  private async run(request: TestRunRequest): Promise<void> {
    const run = this.controller.createTestRun(request);
    const chosen = new Set(request.include ?? [...this.controller.items].map(([, item]) => item));
    const left = new Set(request.exclude ?? []);
    for (const plan of new Set([...chosen].map((item) => item.parent ?? item))) {
      const all = [...plan.children].map(([, item]) => item);
      const wanted = all.filter((item) => (chosen.has(plan) || chosen.has(item)) && !left.has(item) && !left.has(plan));
      await this.runPlan(run, plan, wanted);
    }
    run.end();
  }

  private async runPlan(run: TestRun, plan: TestItem, wanted: readonly TestItem[]): Promise<void> {
    for (const item of wanted) run.started(item);
    const answer = plan.uri === undefined ? undefined : await this.ask(plan.uri);
    const outcomes = new Map(withIds(answer?.tests ?? []));
    for (const item of wanted) {
      const outcome = outcomes.get(item.id);
      if (outcome !== undefined) tell(run, item, outcome);
      else
        run.errored(
          item,
          new TestMessage(answer === undefined ? noAnswer() : l10n.t('This line is not in the plan any more.')),
        );
    }
    if (answer === undefined || answer.unread === 0) return;
    // None of them may pass for tested.
    const said = l10n.t('{0} expect or measured lines cannot be read; see the findings.', answer.unread);
    run.appendOutput(`${said}\r\n`);
    run.errored(plan, new TestMessage(said));
  }
}

const noAnswer = (): string => l10n.t('Not tested: the server gave no answer. Run it again.');

function tell(run: TestRun, item: TestItem, { passed, message, computed, kind, text, uri, range }: Outcome): void {
  const location = new Location(Uri.parse(uri), rangeOf(range));
  const said = message ?? (computed === undefined ? undefined : l10n.t('computed: {0}', computed));
  run.appendOutput(
    `${passed ? l10n.t('holds') : l10n.t('fails')}  ${kind} ${text}${said === undefined ? '' : `\r\n       ${said}`}\r\n`,
  );
  if (passed) return run.passed(item);
  const failure = new TestMessage(said ?? l10n.t('This does not hold.'));
  failure.location = location;
  run.failed(item, failure);
}

/** A line keeps its item while its words stay the same; the same words again are told apart by their number. */
function withIds(outcomes: readonly Outcome[]): [string, Outcome][] {
  const times = new Map<string, number>();
  return outcomes.map((outcome) => {
    const words = `${outcome.uri} ${outcome.kind} ${outcome.text}`;
    const time = (times.get(words) ?? 0) + 1;
    times.set(words, time);
    return [time === 1 ? words : `${words} ${time}`, outcome];
  });
}

const nameOf = (uri: Uri) => workspace.asRelativePath(uri);
const rangeOf = ({ start, end }: Outcome['range']) => new Range(start.line, start.character, end.line, end.character);
