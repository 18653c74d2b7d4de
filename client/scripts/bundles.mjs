/** What is shipped, and how it is bundled. */
import { readFileSync } from 'node:fs';
import { transform } from 'esbuild';
import { at } from './workshop.mjs';

/**
 * Files without their endings, and where each begins. With "type": "module" in the tree, the programs for Node are CommonJS
 * files named .cjs.
 */
export const bundles = [
  // For both kinds of hosts. VS Code takes a .js file for CommonJS, since the packed manifest has no `type`.
  {
    entries: { 'dist/client': 'client/src/extension-anywhere.ts' },
    external: ['vscode'],
    conditions: ['node', 'browser'],
  },
  { entries: { 'dist/drawing': 'client/webview/main.ts' }, web: true, format: 'iife' },
  { entries: { 'dist/web/server': 'server/src/lsp/main-web.ts' }, web: true, format: 'iife' },
  // Both programs for Node, and beside them what both need: it would be a fifth of the package to have it twice.
  {
    entries: { 'dist/server': 'server/src/lsp/main.ts', 'dist/cli': 'server/src/cli/main.ts' },
    shared: 'dist/engine',
    ending: '.cjs',
  },
];

/** Bytes of minified code: a little above what each is now, so that growth is seen. */
export const budgets = {
  'dist/client.js': 520_000,
  'dist/drawing.js': 12_000,
  'dist/web/server.js': 965_000,
  'dist/server.cjs': 366_000,
  'dist/cli.cjs': 84_000,
  'dist/engine.cjs': 626_000,
};

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

/**
 * esbuild shares code between programs in the form of ECMAScript modules alone; this makes CommonJS of what it made.
 * Those are strict without saying so. What a shared file exports are then getters, and a third was added to the time of
 * the symbols of 5,000 lines by calling them: they are made values, since none changes once the file is loaded.
 */
const commonJs = {
  name: 'common-js',
  setup({ onEnd, initialOptions }) {
    const shared = `${at(initialOptions.chunkNames)}${initialOptions.outExtension['.js']}`;
    onEnd(async (made) => {
      const files = made.outputFiles ?? [];
      const maps = new Map(files.filter(isMap).map((map) => [map.path, map]));
      for (const file of files.filter((each) => !isMap(each))) {
        const map = maps.get(`${file.path}.map`);
        const inline = `//# sourceMappingURL=data:application/json;base64,${Buffer.from(map.contents).toString('base64')}`;
        const options = {
          format: 'cjs',
          platform: 'neutral',
          banner: '"use strict";',
          footer: file.path === shared ? 'module.exports = { ...module.exports };' : '',
          sourcefile: file.path,
          ...form(),
        };
        const { code, map: mapped } = await transform(`${file.text}\n${inline}\n`, options);
        Object.assign(file, { contents: Buffer.from(code) });
        Object.assign(map, { contents: Buffer.from(mapped) });
      }
    });
  },
};

const isMap = ({ path }) => path.endsWith('.map');

const { version } = JSON.parse(readFileSync(at('package.json'), 'utf8'));

/** How code is written, for a browser or for Node. */
const form = (web = false) => ({
  minify: true,
  // The oldest VS Code that the manifest admits runs its extensions on Node 20.
  target: web ? 'es2022' : 'node20',
  sourcemap: 'external',
  legalComments: 'eof',
  logLevel: 'warning',
});

/** What esbuild is told of one bundle. It writes nothing. */
export function optionsFor({ entries, shared, external = [], web, format = 'cjs', conditions, ending = '.js' }) {
  return {
    ...form(web),
    entryPoints: entries,
    outdir: at(),
    outExtension: { '.js': ending },
    write: false,
    bundle: true,
    platform: web ? 'browser' : 'node',
    format: shared === undefined ? format : 'esm',
    ...(shared === undefined ? {} : { splitting: true, chunkNames: shared }),
    external,
    ...(conditions === undefined ? {} : { conditions }),
    define: { FESTOON_VERSION: JSON.stringify(version) },
    absWorkingDir: at(),
    metafile: true,
    plugins: [oneProtocol, ...(shared === undefined ? [] : [commonJs])],
  };
}
