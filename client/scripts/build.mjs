/** Bundles the extension, the language server and the command line into dist/, and holds them to a size. */
import { statSync } from 'node:fs';
import { build } from 'esbuild';
import { at, command } from './workshop.mjs';

/**
 * VS Code loads `main` with require(), so with "type": "module" the bundles are CommonJS files named .cjs.
 * Budgets are bytes of minified code: about a fifth above what the bare protocol libraries and parser need.
 */
const bundles = [
  { entry: 'client/src/extension.ts', out: 'dist/client.cjs', budget: 520_000, external: ['vscode'] },
  { entry: 'server/src/lsp/main.ts', out: 'dist/server.cjs', budget: 900_000 },
  { entry: 'server/src/cli/main.ts', out: 'dist/cli.cjs', budget: 700_000, banner: '#!/usr/bin/env node' },
];

async function bundle({ entry, out, external = [], banner = '' }) {
  await build({
    entryPoints: [at(entry)],
    outfile: at(out),
    bundle: true,
    minify: true,
    platform: 'node',
    format: 'cjs',
    // The oldest VS Code that the manifest admits runs its extensions on Node 20.
    target: 'node20',
    sourcemap: 'external',
    legalComments: 'eof',
    external,
    banner: { js: banner },
    logLevel: 'warning',
    absWorkingDir: at(),
  });
}

await command(async () => {
  let over = 0;
  for (const each of bundles) {
    await bundle(each);
    const bytes = statSync(at(each.out)).size;
    const fits = bytes <= each.budget;
    if (!fits) over++;
    console.log(
      `${each.out.padEnd(16)} ${String(Math.ceil(bytes / 1000)).padStart(5)} kB of ${each.budget / 1000} kB${fits ? '' : '  TOO BIG'}`,
    );
  }
  return over === 0 ? 0 : 1;
});
