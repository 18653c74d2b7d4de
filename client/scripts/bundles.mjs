/** What is shipped, and how it is bundled. */
import { readFileSync } from 'node:fs';
import { at } from './workshop.mjs';

/**
 * With "type": "module" in the tree, the programs for Node are CommonJS files named .cjs.
 * Budgets are bytes of minified code: a little above what each is now, so that growth is seen.
 */
export const bundles = [
  // For both kinds of hosts. VS Code takes a .js file for CommonJS, since the packed manifest has no `type`.
  {
    entry: 'client/src/extension-anywhere.ts',
    out: 'dist/client.js',
    budget: 520_000,
    external: ['vscode'],
    conditions: ['node', 'browser'],
  },
  { entry: 'client/webview/main.ts', out: 'dist/drawing.js', budget: 12_000, web: true, format: 'iife' },
  { entry: 'server/src/lsp/main.ts', out: 'dist/server.cjs', budget: 950_000 },
  { entry: 'server/src/lsp/main-web.ts', out: 'dist/web/server.js', budget: 935_000, web: true, format: 'iife' },
  { entry: 'server/src/cli/main.ts', out: 'dist/cli.cjs', budget: 675_000, banner: '#!/usr/bin/env node' },
];

/**
 * One copy of what the protocol's library gives, for all of our files. Otherwise each file that imports it has its own,
 * which is an object with hundreds of getters: megabytes in the server, made at each start.
 */
const oneProtocol = {
  name: 'one-protocol',
  setup({ onResolve }) {
    const sources = at('server', 'src');
    onResolve({ filter: /^vscode-languageserver$/ }, ({ importer }) =>
      importer.startsWith(sources) ? { path: at('client', 'scripts', 'one-protocol.mjs') } : undefined,
    );
  },
};

/** See small-lodash.mjs. */
const smallLodash = {
  name: 'small-lodash',
  setup({ onResolve }) {
    onResolve({ filter: /^lodash-es$/ }, () => ({ path: at('client', 'scripts', 'small-lodash.mjs') }));
  },
};

const { version } = JSON.parse(readFileSync(at('package.json'), 'utf8'));

/** What esbuild is told of one bundle. */
export function optionsFor({ entry, out, external = [], banner = '', web = false, format = 'cjs', conditions }) {
  return {
    entryPoints: [at(entry)],
    outfile: at(out),
    bundle: true,
    minify: true,
    platform: web ? 'browser' : 'node',
    format,
    // The oldest VS Code that the manifest admits runs its extensions on Node 20.
    target: web ? 'es2022' : 'node20',
    sourcemap: 'external',
    legalComments: 'eof',
    external,
    ...(conditions === undefined ? {} : { conditions }),
    banner: { js: banner },
    define: { FESTOON_VERSION: JSON.stringify(version) },
    logLevel: 'warning',
    absWorkingDir: at(),
    metafile: true,
    plugins: [oneProtocol, smallLodash],
  };
}
