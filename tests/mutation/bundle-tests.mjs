import { readFileSync } from 'node:fs';
import { fileURLToPath, pathToFileURL } from 'node:url';
import { build } from 'esbuild';
import { withSwitches } from './mutants.mjs';

const beside = (name) => fileURLToPath(new URL(name, import.meta.url));
const OURS = { vitest: beside('small-runner.mjs'), 'mutation-switch': beside('switch.mjs') };

/** Bundles test files with the chosen mutants in what they test; gives the path of the bundle. */
export async function bundleTests(outfile, files, chosen) {
  const imports = [...files, beside('worker.mjs')].map((path) => `import ${JSON.stringify(path)};`);
  await build({
    stdin: { contents: imports.join('\n'), resolveDir: beside('.') },
    outfile,
    bundle: true,
    platform: 'node',
    format: 'esm',
    define: { FESTOON_VERSION: '"0"' },
    plugins: [packages, addresses, switches(chosen)],
    logLevel: 'warning',
  });
  return outfile;
}

/** Packages stay outside of the bundle, but for those that this folder stands in for. */
const packages = {
  name: 'packages',
  setup: ({ onResolve }) =>
    onResolve({ filter: /^[@a-z]/ }, ({ path }) => (OURS[path] ? { path: OURS[path] } : { path, external: true })),
};

/** Tests find their fixtures from their own address. */
const addresses = {
  name: 'addresses',
  setup: ({ onLoad }) =>
    onLoad({ filter: /[\\/]tests[\\/](unit|support)[\\/].*\.ts$/ }, ({ path }) => ({
      contents: readFileSync(path, 'utf8').replaceAll('import.meta.url', JSON.stringify(pathToFileURL(path).href)),
      loader: 'ts',
    })),
};

const switches = (chosen) => ({
  name: 'switches',
  setup: ({ onLoad }) =>
    onLoad({ filter: /[\\/]server[\\/]src[\\/].*\.ts$/ }, ({ path }) => {
      const here = chosen.filter((mutant) => mutant.path === path);
      if (here.length === 0) return undefined;
      return { contents: withSwitches(readFileSync(path, 'utf8'), here), loader: 'ts' };
    }),
});
