/** Bundles the extension, the language server and the command line into dist/, and holds them to a size. */
import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';
import { at, command } from './workshop.mjs';

/**
 * With "type": "module" in the tree, the programs for Node are CommonJS files named .cjs.
 * Budgets are bytes of minified code: about a fifth above what the bare protocol libraries and parser need.
 */
const bundles = [
  // For both kinds of hosts. VS Code takes a .js file for CommonJS, since the packed manifest has no `type`.
  {
    entry: 'client/src/extension-anywhere.ts',
    out: 'dist/client.js',
    budget: 520_000,
    external: ['vscode'],
    conditions: ['node', 'browser'],
  },
  { entry: 'client/webview/main.ts', out: 'dist/drawing.js', budget: 12_000, web: true, format: 'iife' },
  { entry: 'server/src/lsp/main.ts', out: 'dist/server.cjs', budget: 960_000 },
  { entry: 'server/src/lsp/main-web.ts', out: 'dist/web/server.js', budget: 960_000, web: true, format: 'iife' },
  { entry: 'server/src/cli/main.ts', out: 'dist/cli.cjs', budget: 700_000, banner: '#!/usr/bin/env node' },
];

const { version } = JSON.parse(readFileSync(at('package.json'), 'utf8'));

/** Bundles one entry and returns the names of the files that went into it. */
async function bundle({ entry, out, external = [], banner = '', web = false, format = 'cjs', conditions }) {
  const { metafile } = await build({
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
  });
  return Object.keys(metafile.inputs);
}

/** The licences of the packages that are bundled, as those licences ask. */
function notices(inputs) {
  const packages = new Set(inputs.flatMap((input) => input.match(/^.*node_modules\/(?:@[^/]+\/)?[^/]+/)?.[0] ?? []));
  const texts = [...packages].sort().map((folder) => {
    const { name, version, license, author } = JSON.parse(readFileSync(at(folder, 'package.json'), 'utf8'));
    const file = readdirSync(at(folder)).find((each) => /^licen[cs]e/i.test(each));
    const text = file === undefined ? plainLicence(name, license, author) : readFileSync(at(folder, file), 'utf8');
    return `${name} ${version} (${license})\n\n${text.trim()}`;
  });
  return `Festoon contains code of these packages.\n\n${texts.join(`\n\n${'-'.repeat(80)}\n\n`)}\n`;
}

/** The text of a licence that a package names but does not bring: the MIT licence, as it stands in our own. */
function plainLicence(name, license, author) {
  const owner = typeof author === 'string' ? author : author?.name;
  if (license !== 'MIT' || owner === undefined) throw new Error(`${name} brings no text of its licence (${license})`);
  return readFileSync(at('LICENSE'), 'utf8').replace(/^Copyright .*$/m, `Copyright (c) ${owner}`);
}

await command(async () => {
  // Nothing old may pass for the result of a build that failed.
  rmSync(at('dist'), { recursive: true, force: true });
  let over = 0;
  const inputs = [];
  for (const each of bundles) {
    inputs.push(...(await bundle(each)));
    const bytes = statSync(at(each.out)).size;
    const fits = bytes <= each.budget;
    if (!fits) over++;
    console.log(
      `${each.out.padEnd(16)} ${String(Math.ceil(bytes / 1000)).padStart(5)} kB of ${each.budget / 1000} kB${fits ? '' : '  TOO BIG'}`,
    );
  }
  writeFileSync(at('dist', 'NOTICES.txt'), notices(inputs));
  return over === 0 ? 0 : 1;
});
