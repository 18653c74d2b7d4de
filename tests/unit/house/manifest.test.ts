/** What the extension's manifest promises: nothing risky, nothing unpinned, and nothing packed but what is listed. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { HINT_FAMILIES } from '#server/ide/inlay-hints.ts';
import { SEMANTIC_TYPES } from '#server/ide/semantic-tokens.ts';
import { commandsFor } from '#server/lsp/handle-commands.ts';
import { readText, root } from './tree.ts';

interface Manifest {
  readonly files: readonly string[];
  readonly main: string;
  readonly icon: string;
  readonly engines: { readonly vscode: string };
  readonly activationEvents?: readonly string[];
  readonly dependencies?: object;
  readonly devDependencies: Readonly<Record<string, string>>;
  readonly scripts: Readonly<Record<string, string>>;
  readonly capabilities: { readonly untrustedWorkspaces: { readonly supported: boolean | string } };
  readonly contributes: {
    readonly configuration?: Section | readonly Section[];
    readonly languages: readonly { readonly configuration: string; readonly icon: Readonly<Record<string, string>> }[];
    readonly grammars: readonly { readonly path: string }[];
    readonly commands: readonly { readonly command: string; readonly category: string }[];
    readonly configurationDefaults: object;
    readonly views: object;
    readonly viewsWelcome: readonly object[];
    readonly problemMatchers: readonly object[];
    readonly walkthroughs: readonly [{ readonly steps: readonly Step[] }];
  };
}

interface Step {
  readonly description: string;
  readonly completionEvents?: readonly string[];
}

interface Section {
  readonly properties: Readonly<
    Record<string, { readonly type?: string | readonly string[]; readonly scope?: string }>
  >;
}

const manifest = JSON.parse(readText('package.json')) as Manifest;

/** A setting that could name a program, its arguments or a place on the network is the door that others left open. */
function riskySettings({ contributes: { configuration = [] } }: Pick<Manifest, 'contributes'>): string[] {
  const sections = Array.isArray(configuration) ? configuration : [configuration];
  const names = sections.flatMap((section: Section) => Object.keys(section.properties));
  const risky =
    /path|command|exec|program|binary|args|argument|env|shell|url|host|port$|address|server|proxy|token|node/i;
  return names.filter((name) => risky.test(name.replace(/^festoon\./, '')));
}

describe('manifest', () => {
  it('has no setting that could start a program or reach the network', () => {
    const properties = { 'festoon.server.path': { type: 'string' }, 'festoon.hints.run': { type: 'boolean' } };
    const planted = { contributes: { ...manifest.contributes, configuration: { properties } } };
    expect(riskySettings(planted)).toEqual(['festoon.server.path']);
    expect(riskySettings(manifest)).toEqual([]);
    expect(manifest.capabilities.untrustedWorkspaces.supported).toBe(true);
  });

  it('has one switch for the lenses, one for every family of hints that the server knows, and no other setting', () => {
    const { configuration } = manifest.contributes as { configuration: Section };
    expect(Object.keys(configuration.properties)).toEqual([
      'festoon.codeLens',
      ...HINT_FAMILIES.map((family) => `festoon.inlayHints.${family}`),
    ]);
  });

  it('has no command of a name that the server has, since the language client makes each of those one of the editor', () => {
    const server = commandsFor({ appliesEdits: true });
    const registered = readdirSync(join(root, 'client/src')).flatMap((file) =>
      [...readText(`client/src/${file}`).matchAll(/registerCommand\(\s*'([^']+)'/g)].map(([, name]) => name),
    );
    expect(registered).toContain('festoon.planInjection');
    const own = [...registered, ...manifest.contributes.commands.map(({ command }) => command)];
    expect(server.filter((command) => own.includes(command))).toEqual([]);
  });

  it('starts only when a plan is opened, a drawing of one comes back with the window, or its view is opened', () => {
    expect(manifest.activationEvents).toEqual(['onWebviewPanel:festoon.drawing']);
    // A view that is open starts the extension in every folder that has nothing to do with plans.
    const { views } = manifest.contributes;
    expect(views).toEqual({
      explorer: [{ id: 'festoon.power', name: '%view.power%', visibility: 'collapsed' }],
    });
  });

  it('has a text where no plan is open, whose button begins one', () => {
    const { viewsWelcome, commands } = manifest.contributes;
    expect(viewsWelcome).toEqual([{ view: 'festoon.power', contents: '%view.power.welcome%' }]);
    const texts = JSON.parse(readText('package.nls.json')) as Record<string, string>;
    const [, command] = /\]\(command:([^)]+)\)/.exec(texts['view.power.welcome'] ?? '') ?? [];
    expect(command).toBe('festoon.newPlan');
    expect(commands.map((each) => each.command)).toContain(command);
  });

  it('runs nothing when it is installed, and brings no package of others', () => {
    const hooks = Object.keys(manifest.scripts).filter((name) => /install|prepare|publish|^pre|^post/.test(name));
    expect(hooks).toEqual([]);
    expect(manifest.dependencies).toBeUndefined();
  });

  it('pins every tool to one version', () => {
    const loose = Object.entries(manifest.devDependencies).filter(([, version]) => !/^\d+\.\d+\.\d+$/.test(version));
    expect(loose).toEqual([]);
  });

  it('asks for the oldest VS Code whose interface it is typed against', () => {
    expect(manifest.engines.vscode).toBe(`^${manifest.devDependencies['@types/vscode']}`);
  });

  it('decides nothing that a person may have decided for all languages', () => {
    // What is set here for plans counts for more than what a person sets without naming a language.
    const { configurationDefaults } = manifest.contributes;
    expect(configurationDefaults).toEqual({
      '[festoon]': {
        // The one style has two blanks, and lays out a line as soon as it is left.
        'editor.formatOnType': true,
        'editor.tabSize': 2,
        'editor.insertSpaces': true,
        // Names have their colours in every theme, and come from the plan and not from words that stand nearby.
        'editor.semanticHighlighting.enabled': true,
        'editor.wordBasedSuggestions': 'off',
      },
    });
  });

  it('has steps to start with whose buttons run commands of ours, which complete them', () => {
    const { commands, walkthroughs } = manifest.contributes;
    const own = new Set(commands.map(({ command }) => command));
    const texts = JSON.parse(readText('package.nls.json')) as Record<string, string>;
    const buttons = walkthroughs[0].steps.flatMap(({ description, completionEvents = [] }) => {
      const text = texts[description.slice(1, -1)] ?? '';
      return [...text.matchAll(/\]\(command:([^)]+)\)/g)].map(([, command]) => [command, completionEvents]);
    });
    expect(buttons.length).toBeGreaterThan(2);
    for (const [command, events] of buttons) {
      expect(own).toContain(command);
      expect(events).toEqual([`onCommand:${command}`]);
    }
  });

  it('has a task say nothing twice: what is open has its findings from the editor, which take them back when they are mended', () => {
    expect(manifest.contributes.problemMatchers).toMatchObject([{ name: 'festoon', applyTo: 'closedDocuments' }]);
  });

  it('puts every command under one category', () => {
    expect(manifest.contributes.commands.filter(({ category }) => category !== 'Festoon')).toEqual([]);
  });

  it('packs what it refers to', () => {
    const { languages, grammars } = manifest.contributes;
    const icons = languages.flatMap(({ icon }) => Object.values(icon));
    const referred = [
      ...icons,
      ...languages.map(({ configuration }) => configuration),
      ...grammars.map(({ path }) => path),
    ];
    const own = [manifest.main, manifest.icon, ...referred].map((path) => path.replace(/^\.\//, ''));
    expect(own.length).toBeGreaterThanOrEqual(6);
    expect(own.filter((path) => !manifest.files.includes(path))).toEqual([]);
  });

  it('has a text for every key of the manifest, and no key without a use', () => {
    const used = [...readText('package.json').matchAll(/"%([^%"]+)%"/g)].map(([, key]) => key);
    const texts = JSON.parse(readText('package.nls.json')) as Record<string, string>;
    expect(used.length).toBeGreaterThan(20);
    expect(new Set(used).size).toBe(used.length);
    expect(used.sort()).toEqual(Object.keys(texts).sort());
    expect(Object.values(texts).filter((text) => text.trim() === '')).toEqual([]);
  });

  it('gives every kind of name that the server colours a scope of the themes', () => {
    const { semanticTokenScopes } = manifest.contributes as unknown as {
      semanticTokenScopes: readonly [{ readonly scopes: Record<string, readonly string[]> }];
    };
    expect(Object.keys(semanticTokenScopes[0].scopes)).toEqual([...SEMANTIC_TYPES]);
  });

  it('packs single named files and nothing else', () => {
    expect(manifest.files.filter((path) => /[*?[\]{}!]|\/$/.test(path))).toEqual([]);
    // vsce gives three files names of its own.
    const renamed: Record<string, string> = {
      'README.md': 'readme.md',
      'CHANGELOG.md': 'changelog.md',
      LICENSE: 'LICENSE.txt',
    };
    const listed = ['package.json', ...manifest.files].map((path) => `extension/${renamed[path] ?? path}`);
    const packed = namesInZip(readFileSync(join(root, 'dist/festoon.vsix')));
    expect(packed.sort()).toEqual([...listed, '[Content_Types].xml', 'extension.vsixmanifest'].sort());
  });
});

/** The file names in a zip archive's central directory (PKWARE APPNOTE, sections 4.3.12 and 4.3.16). */
function namesInZip(bytes: Buffer): string[] {
  const end = bytes.lastIndexOf('PK\x05\x06', undefined, 'latin1');
  const names: string[] = [];
  let at = bytes.readUInt32LE(end + 16);
  for (let left = bytes.readUInt16LE(end + 10); left > 0; left--) {
    const [name, extra, comment] = [28, 30, 32].map((offset) => bytes.readUInt16LE(at + offset)) as [
      number,
      number,
      number,
    ];
    names.push(bytes.toString('utf8', at + 46, at + 46 + name));
    at += 46 + name + extra + comment;
  }
  return names;
}
