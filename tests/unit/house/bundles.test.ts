import { createHash } from 'node:crypto';
import { existsSync, readFileSync } from 'node:fs';
import { builtinModules, createRequire } from 'node:module';
import { join, relative, sep } from 'node:path';
import { type BuildOptions, type BuildResult, build } from 'esbuild';
import { describe, expect, it } from 'vitest';
import { readText, root } from './tree.ts';

interface Shipped {
  readonly bundles: readonly object[];
  readonly budgets: Readonly<Record<string, number>>;
  readonly optionsFor: (bundle: Shipped['bundles'][number]) => BuildOptions;
}
const { bundles, budgets, optionsFor } = (await import(join(root, 'client/scripts/bundles.mjs'))) as Shipped;

/** All bundles as they are shipped, made anew and not written. */
const made = Promise.all(bundles.map((each) => build(optionsFor(each))));
const inputs = async () => [...new Set((await made).flatMap(({ metafile }) => Object.keys(metafile?.inputs ?? {})))];

/**
 * What is shipped can do no more than it must: no other programs, no network, no text taken for code. A plan may come
 * from anybody, and the extension runs with all the rights of its user.
 */
const bundle = (name: string): string => {
  const path = join(root, 'dist', name);
  if (!existsSync(path)) throw new Error(`dist/${name} is not built: npm run build`);
  return readFileSync(path, 'utf8');
};

/** Whatever is called with the name of a module alone: in what is shipped `require` may have another name. */
const LOADS = /\(\s*["'](?:node:)?([a-z0-9_/]+)["']\s*\)|\bfrom\s*["'](?:node:)?([a-z0-9_/]+)["']/g;
const modulesOf = (text: string) =>
  new Set([...text.matchAll(LOADS)].map(([, a, b]) => a ?? b ?? '').filter((name) => builtinModules.includes(name)));

/** Node's modules that reach the network. */
const NETWORK = ['http', 'https', 'http2', 'net', 'tls', 'dgram', 'dns'];

/**
 * The protocol libraries bring code to start a server and to speak over sockets; with the packed entry points it is never
 * reached: the client starts the server as a module in a process of the editor, and both speak over that.
 */
const BROUGHT_ALONG: Readonly<Record<string, readonly string[]>> = {
  'client.js': ['child_process', 'net'],
  'server.cjs': ['child_process', 'net'],
  'engine.cjs': [],
  'drawing.js': [],
};

describe.each(Object.keys(BROUGHT_ALONG))('%s', (name) => {
  it('loads no module that starts programs or reaches the network, but what the protocol libraries bring', () => {
    const loaded = [...modulesOf(bundle(name))];
    expect(loaded.length > 0).toBe(name !== 'drawing.js');
    const risky = loaded.filter((module) => [...NETWORK, 'child_process'].includes(module));
    expect(risky.filter((module) => !BROUGHT_ALONG[name]?.includes(module))).toEqual([]);
  });

  it('takes no text for code or for markup', () => {
    expect(
      bundle(name).match(/\beval\s*\(|\bnew Function\b|\.innerHTML\b|\.outerHTML\b|insertAdjacentHTML/g),
    ).toBeNull();
  });
});

describe('our own sources', () => {
  it('start no program and open no connection, but for the git and the test lights of the command line', async () => {
    const own = (await inputs()).filter((input) => !input.includes('node_modules'));
    expect(own.length).toBeGreaterThan(100);
    const risky = own.filter((input) =>
      [...modulesOf(readText(input))].some((module) => [...NETWORK, 'child_process'].includes(module)),
    );
    expect(risky.sort()).toEqual(['server/src/cli/light/transmit.ts', 'server/src/cli/run-git.ts']);
  });
});

describe('a build', () => {
  it('gives the same bytes every time', { timeout: 60_000 }, async () => {
    const again = await Promise.all(bundles.map((each) => build(optionsFor(each))));
    expect(again.map(hashes)).toEqual((await made).map(hashes));
    const foreseen = Object.keys(budgets).flatMap((name) => [name, `${name}.map`]);
    expect(again.flatMap(names).sort()).toEqual(foreseen.sort());
  });

  it('leaves nothing out of the package', () => {
    const { files } = JSON.parse(readText('package.json')) as { files: string[] };
    expect(Object.keys(budgets).filter((name) => !files.includes(name))).toEqual([]);
  });
});

describe('what the programs share', () => {
  it('is handed over as values: a getter costs time at each call', () => {
    const shared = createRequire(import.meta.url)(join(root, 'dist/engine.cjs')) as object;
    const handed = Object.values(Object.getOwnPropertyDescriptors(shared));
    expect(handed.length).toBeGreaterThan(100);
    expect(handed.filter((each) => each.get !== undefined)).toEqual([]);
  });
});

const names = ({ outputFiles = [] }: BuildResult) =>
  outputFiles.map(({ path }) => relative(root, path).replaceAll(sep, '/'));
const hashes = ({ outputFiles = [] }: BuildResult) =>
  outputFiles.map(({ contents }) => createHash('sha256').update(contents).digest('hex'));

/** Tools that build or fetch something when they are installed; with the scripts off they do without. */
const KNOWN_SCRIPTS = new Set(['esbuild', 'fsevents', 'keytar', '@vscode/vsce-sign']);

describe('what is installed', () => {
  const lock = JSON.parse(readText('package-lock.json')) as {
    packages: Record<string, { resolved?: string; integrity?: string; hasInstallScript?: boolean }>;
  };

  it('runs no program of its own: those that would are few and known, and npm is told not to', () => {
    expect(readText('.npmrc')).toMatch(/^ignore-scripts=true$/m);
    const scripted = Object.entries(lock.packages).filter(([, { hasInstallScript }]) => hasInstallScript === true);
    const names = scripted.map(([path]) => path.replace(/^.*node_modules\//, ''));
    expect(names.filter((name) => !KNOWN_SCRIPTS.has(name))).toEqual([]);
  });

  it('names no host to download from, and a fingerprint for everything', () => {
    const packages = Object.entries(lock.packages).filter(([path]) => path !== '');
    expect(packages.length).toBeGreaterThan(100);
    expect(packages.filter(([, { resolved }]) => resolved !== undefined)).toEqual([]);
    expect(packages.filter(([, { integrity }]) => !integrity?.startsWith('sha512-')).map(([path]) => path)).toEqual([]);
  });
});

/** What is read here of a bill of materials in the form of CycloneDX 1.6. */
interface BillOfMaterials {
  readonly metadata: { readonly component: { readonly 'bom-ref': string } };
  readonly components: readonly {
    readonly 'bom-ref': string;
    readonly name: string;
    readonly version: string;
    readonly purl: string;
    readonly hashes: readonly object[];
    readonly licenses: readonly { readonly license: { readonly id: string } }[];
  }[];
  readonly dependencies: readonly { readonly ref: string; readonly dependsOn: readonly string[] }[];
}

describe('the packages of others in the bundles', () => {
  it('are named with their licences, and no other', async () => {
    const packages = new Set(
      (await inputs()).flatMap((path) => /.*node_modules\/((?:@[^/]+\/)?[^/]+)\//.exec(path)?.[1] ?? []),
    );
    expect(packages.size).toBeGreaterThan(3);
    const notices = bundle('NOTICES.txt');
    const named = [...notices.matchAll(/^(@?[a-z0-9./-]+) \d+\.\d+\.\d+\S* \(.+\)$/gm)].map(([, name = '']) => name);
    expect([...packages].filter((name) => !named.includes(name))).toEqual([]);
    // Each with the text that the licence asks to be kept.
    expect(notices.split(/^-{80}$/m).filter((part) => !/copyright|permission/i.test(part))).toEqual([]);
  });

  it('stand in a bill of materials with what was installed, the same as in the notices', () => {
    const { components, dependencies, ...bill } = JSON.parse(bundle('festoon.cdx.json')) as BillOfMaterials;
    expect(bill).toMatchObject({ bomFormat: 'CycloneDX', specVersion: '1.6', version: 1 });
    // The same build gives the same bytes.
    expect(Object.keys(bill)).not.toContain('serialNumber');
    expect(Object.keys(bill.metadata)).toEqual(['component']);
    const noticed = [...bundle('NOTICES.txt').matchAll(/^(@?[a-z0-9./-]+ \d+\.\d+\.\d+\S* \(.+\))$/gm)];
    expect(components.map(({ name, version, licenses }) => `${name} ${version} (${licenses[0]?.license.id})`)).toEqual(
      noticed.map(([, line]) => line),
    );
    for (const { name, version, purl, hashes } of components) {
      // The package URL specification has this very example: pkg:npm/%40angular/animation@12.3.1.
      expect(purl).toBe(`pkg:npm/${encodeURIComponent(name).replace('%2F', '/')}@${version}`);
      // 512 bits in hexadecimal digits.
      expect(hashes).toEqual([{ alg: 'SHA-512', content: expect.stringMatching(/^[0-9a-f]{128}$/) }]);
    }
    const known = new Set([bill.metadata.component['bom-ref'], ...components.map((each) => each['bom-ref'])]);
    expect(new Set(dependencies.map(({ ref }) => ref))).toEqual(known);
    expect(dependencies.flatMap(({ dependsOn }) => dependsOn).filter((ref) => !known.has(ref))).toEqual([]);
    // As its own manifest says.
    const server = dependencies.find(({ ref }) => ref.startsWith('pkg:npm/vscode-languageserver@'));
    expect(server?.dependsOn).toEqual([expect.stringMatching(/^pkg:npm\/vscode-languageserver-protocol@/)]);
  });
});

describe('the drawing panel', () => {
  it('may load its own script and styles, and nothing else', () => {
    const source = readText('client/src/drawing-panel.ts');
    const policy = /default-src 'none'[^`"]*/.exec(source)?.[0] ?? '';
    expect(policy).toMatch(/^default-src 'none'; style-src \$\{webview\.cspSource\}; script-src 'nonce-\$\{nonce\}'$/);
    expect(source).toMatch(/randomBytes|getRandomValues|randomUUID/);
  });
});
