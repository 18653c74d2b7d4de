import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { afterEach, describe, expect, it } from 'vitest';
import {
  CancellationTokenSource,
  type ClientCapabilities,
  type CodeAction,
  ErrorCodes,
  LSPErrorCodes,
  ResponseError,
  type WorkspaceEdit,
} from 'vscode-languageserver';
import { DISPLAY, FED } from '../support/display.ts';
import { LanguageClient, MODERN, PLAIN } from '../support/language-client.ts';
import { longRunPlan } from '../support/long-run-plan.ts';
import { festoon } from '../unit/cli/console.ts';

/** Commands of the server, for editors that have none of their own. */

const BENCH = readFileSync(new URL('../fixtures/bench.festoon', import.meta.url), 'utf8');
const SERVER = fileURLToPath(new URL('../../dist/server.cjs', import.meta.url));
const PLAN = 'plan.festoon';
/** Six pixels draw 0.36 A: the lead loses 31 mV, the string 60 mA x 2 x 2.1367 mohm x 21, 5 mV. */
const SOUND = DISPLAY.replace('60 px', '3 px').replace('40 px', '3 px');
const APPLYING: ClientCapabilities = {
  ...MODERN,
  workspace: { ...MODERN.workspace, applyEdit: true },
  window: { workDoneProgress: true },
};

let client: LanguageClient;
afterEach(() => client.close());

const start = async (capabilities = APPLYING) => {
  const options = { capabilities, files: new Map([['bench.festoon', BENCH]]) };
  client = await LanguageClient.spawned(process.execPath, [SERVER, '--stdio'], options);
};

interface Answer {
  readonly applied: boolean;
  readonly said: string;
  readonly steps: readonly { readonly subject: string }[];
}

const run = <T = Answer>(command: string, argument?: unknown, source = new CancellationTokenSource()) =>
  client.connection.sendRequest<T>(
    'workspace/executeCommand',
    { command, ...(argument === undefined ? {} : { arguments: [argument] }) },
    source.token,
  );

/** What the command line makes of the same files. */
function written(text: string): unknown {
  const files = { [`/plans/${PLAN}`]: text, '/plans/bench.festoon': BENCH };
  return festoon(['plan', PLAN, '--write'], { files }).files.get(`/plans/${PLAN}`);
}

describe('festoon.plan', () => {
  it.each([
    ['as it stands', DISPLAY],
    ['with line ends of Windows', DISPLAY.replaceAll('\n', '\r\n')],
  ])('puts what the command line proposes into a plan %s', async (_, text) => {
    await start();
    await client.open(PLAN, text);
    expect(await client.pull(PLAN)).toHaveLength(1);
    const { applied, said, steps } = await run('festoon.plan');
    expect([applied, steps.map(({ subject }) => subject)]).toEqual([true, ['eaves']]);
    expect(client.textOf(PLAN)).toBe(written(text));
    expect(await client.pull(PLAN)).toEqual([]);
    expect(said).toMatch(/^1 change proposed, for eaves\. Proven\. .* Disconnect before touching\./);
    expect(client.shown).toEqual([said]);
  });

  it('says so where nothing is wanting, and asks for no edit', async () => {
    await start();
    await client.open(PLAN, SOUND);
    client.refusal = 'not asked for';
    const said = 'Nothing is wanting: every run has its voltage.';
    expect(await run('festoon.plan')).toEqual({ applied: false, said, steps: [], wanting: [], notLookedAt: [] });
  });

  it('says which run stays wanting where nothing helps', async () => {
    await start();
    await client.open(PLAN, DISPLAY.replace('at roof {', 'at roof  no-tap {'));
    const { applied, said } = await run('festoon.plan');
    expect(applied).toBe(false);
    expect(said).toMatch(/^No injection helps\. eaves stays wanting: .*no-tap/);
  });

  it('says so where the editor does not take the edit', async () => {
    await start();
    await client.open(PLAN, DISPLAY);
    client.refusal = 'the file is locked';
    expect(await run('festoon.plan')).toMatchObject({
      applied: false,
      said: 'The editor has not put the lines into the plan: the file is locked.',
    });
    expect(client.textOf(PLAN)).toBe(DISPLAY);
  });

  it('says what it would have put in where the editor fails at it', async () => {
    await start();
    await client.open(PLAN, DISPLAY);
    client.connection.onRequest('workspace/applyEdit', () => new ResponseError(ErrorCodes.InternalError, 'no room'));
    const said = expect.stringMatching(/^The editor has not put the lines into the plan: .*no room/);
    expect(await run('festoon.plan')).toMatchObject({ applied: false, said, steps: [{ subject: 'eaves' }] });
    expect(client.logged.filter((line) => line.includes('internal error'))).toEqual([]);
    // Nothing has come of it that would stand in the way of another try.
    client.connection.onRequest('workspace/applyEdit', () => ({ applied: true }));
    expect(await run('festoon.plan')).toMatchObject({ applied: true });
  });

  it('puts its lines in once where it is asked for twice, in an editor that does not look at versions', async () => {
    await start({ ...APPLYING, workspace: { applyEdit: true } });
    await client.open(PLAN, DISPLAY);
    const waiting: (() => void)[] = [];
    client.connection.onRequest('workspace/applyEdit', async ({ edit }: { edit: WorkspaceEdit }) => {
      // The first waits until the second has been answered, or has asked for its edit as well.
      if (waiting.length === 0) await new Promise<void>((resolve) => waiting.push(resolve));
      else waiting.pop()?.();
      await client.apply(edit);
      return { applied: true };
    });
    const both = [run('festoon.plan'), run('festoon.plan')];
    await Promise.race(both);
    waiting.pop()?.();
    const answers = await Promise.all(both);
    expect(client.textOf(PLAN)).toBe(written(DISPLAY));
    expect(answers.map(({ applied }) => applied).sort()).toEqual([false, true]);
    expect(client.shown).toContain('The plan was changed meanwhile, so nothing is proposed.');
  });

  const LONG = longRunPlan({ strings: 30, brightness: 60, rated: 80, supplies: 12 });

  it('proposes nothing for a plan that is changed meanwhile', async () => {
    await start();
    await client.open(PLAN, LONG);
    // All files of the workspace are known: it starts at once.
    await client.pull('none.festoon');
    const planned = run('festoon.plan');
    await client.change(PLAN, `${LONG}place barn\n`);
    expect(await planned).toMatchObject({ applied: false, said: expect.stringContaining('was changed meanwhile') });
    expect(client.textOf(PLAN)).toBe(`${LONG}place barn\n`);
  });

  it('is left where the request is cancelled, or what is shown of it', async () => {
    await start();
    await client.open(PLAN, LONG);
    const source = new CancellationTokenSource();
    const left = run('festoon.plan', undefined, source);
    source.cancel();
    await expect(left).rejects.toMatchObject({ code: LSPErrorCodes.RequestCancelled });
    // Planned in full it would take many seconds.
    const shown = run('festoon.plan');
    const token = await client.until(() => client.created.at(-1));
    const begun = await client.until(() => client.progress.find((each) => each.token === token));
    expect(begun.value).toMatchObject({ kind: 'begin', title: 'Festoon: planning injection', cancellable: true });
    await client.connection.sendNotification('window/workDoneProgress/cancel', { token });
    await expect(shown).rejects.toMatchObject({ code: LSPErrorCodes.RequestCancelled });
    expect(client.progress.at(-1)).toEqual({ token, value: { kind: 'end' } });
  });

  it('is offered as an action where a run is wanting, to a client that makes edits', async () => {
    const range = { start: { line: 0, character: 0 }, end: { line: 0, character: 0 } };
    const offered = async (text: string, context: object, capabilities = APPLYING) => {
      await start(capabilities);
      await client.open(PLAN, text);
      const found = await client.ask<CodeAction[]>('textDocument/codeAction', PLAN, {
        range,
        context: { diagnostics: [], ...context },
      });
      return found.filter(({ kind }) => kind?.startsWith('source.plan') === true).map(({ command }) => command);
    };
    const [command] = await offered(DISPLAY, { only: ['source'] });
    expect(command).toMatchObject({ command: 'festoon.plan', arguments: [{ uri: client.uri(PLAN) }] });
    expect(await run(command?.command ?? '', command?.arguments?.[0])).toMatchObject({ applied: true });
    await client.close();
    expect(await offered(DISPLAY, { triggerKind: 1 })).toHaveLength(1);
    await client.close();
    expect(await offered(DISPLAY, { triggerKind: 2 })).toEqual([]);
    await client.close();
    expect(await offered(SOUND, { only: ['source'] })).toEqual([]);
    await client.close();
    expect(await offered(DISPLAY, { only: ['source'] }, MODERN)).toEqual([]);
  });
});

describe('texts of a plan', () => {
  it('are its papers and its drawings, of the file that is named or was worked on last', async () => {
    await start();
    await client.open(PLAN, FED);
    await client.open('other.festoon', DISPLAY.replace('run eaves', 'run porch'));
    const named = { uri: client.uri(PLAN) };
    const papers = await run<string>('festoon.papers', named);
    const content = `festoon-papers:plan.md?${encodeURIComponent(client.uri(PLAN))}`;
    expect({ text: papers }).toEqual(
      await client.connection.sendRequest('workspace/textDocumentContent', { uri: content }),
    );
    expect(papers).toContain('\n# Cut list\n');
    expect(papers).not.toContain('porch');
    expect(await run<string>('festoon.papers')).toContain('porch');

    const drawing = (argument: object) => run<string>('festoon.drawing', { ...named, ...argument });
    const drawings = await Promise.all(
      [{}, { view: 'site' }, { view: 'run' }, { view: 'run', run: 'eaves' }].map(drawing),
    );
    for (const drawn of drawings) expect(drawn).toMatch(/^<\?xml .*\n<svg .*<\/svg>\n$/s);
    expect(new Set(drawings).size).toBe(3);
    expect(drawings[3]).toBe(drawings[2]);
    const misspelt = drawing({ view: 'run', run: 'eave' });
    await expect(misspelt).rejects.toMatchObject({ code: ErrorCodes.InvalidParams });
  });

  it('are no drawing of a run where there is none', async () => {
    await start();
    await client.open(PLAN, 'place shed\n');
    const drawn = run('festoon.drawing', { view: 'run' });
    await expect(drawn).rejects.toMatchObject({ code: ErrorCodes.InvalidParams, message: 'the plan has no run' });
  });

  it('are those of nothing outside the workspace', async () => {
    await start();
    for (const uri of ['file:///etc/plan.festoon', 'file:///display/gone.festoon', 'nonsense'])
      await expect(run('festoon.papers', { uri })).rejects.toMatchObject({ code: ErrorCodes.InvalidParams });
    // One that nobody has open lies in the workspace all the same.
    expect(await run<string>('festoon.papers', { uri: client.uri('bench.festoon') })).toContain('\n# ');
  });
});

describe('a command that cannot be carried out', () => {
  it.each([
    ['that there is not', 'festoon.nothing', {}],
    ['of another editor', 'constructor', {}],
    ['with a name in place of an argument', 'festoon.papers', 'plan.festoon'],
    ['with a view that there is not', 'festoon.drawing', { view: 'inside' }],
    ['with a run that is no name', 'festoon.drawing', { run: 7 }],
    ['without any plan', 'festoon.papers', undefined],
    [
      'with nothing as address',
      'festoon.drawing',
      { uri: null },
      '"uri" of festoon.drawing is to be the address of a file, as text; leave it out for the plan that was worked on last',
    ],
  ])('%s is refused, and nothing is logged', async (_, command, argument, message = expect.any(String)) => {
    client = await LanguageClient.inMemory({ capabilities: APPLYING });
    await expect(run(command, argument)).rejects.toMatchObject({ code: ErrorCodes.InvalidParams, message });
    expect(client.logged.filter((line) => line.includes('internal error'))).toEqual([]);
  });

  it('is not offered', async () => {
    for (const [capabilities, commands] of [
      [APPLYING, ['festoon.plan', 'festoon.papers', 'festoon.drawing']],
      [PLAIN, ['festoon.papers', 'festoon.drawing']],
    ] as const) {
      client = await LanguageClient.inMemory({ capabilities });
      expect(client.initialized.capabilities.executeCommandProvider?.commands).toEqual(commands);
      if (capabilities === APPLYING) await client.close();
    }
    await expect(run('festoon.plan')).rejects.toMatchObject({ code: ErrorCodes.InvalidParams });
  });
});
