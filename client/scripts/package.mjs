/** Packs the built extension into dist/festoon.vsix, and holds the package to a size. */
import { copyFileSync, existsSync, mkdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { createVSIX } from '@vscode/vsce';
import { at, cache, command, Trouble } from './workshop.mjs';

const budget = 1_000_000;

/**
 * Lays exactly the files that the manifest names into an empty folder, and the manifest without what only the
 * workshop needs. The package is made from that folder, so nothing else of the tree can slip into it.
 */
function stagePackage(folder) {
  // Without `type`: the web worker host takes an extension that says "module" for one it cannot load.
  const { scripts, devDependencies, imports, type, ...manifest } = JSON.parse(readFileSync(at('package.json'), 'utf8'));
  const { files } = manifest;
  const absent = files.filter((file) => !existsSync(at(file)));
  if (absent.length > 0)
    throw new Trouble(`These files belong into the package and are not there: ${absent.join(', ')}`);
  rmSync(folder, { recursive: true, force: true });
  for (const file of files) {
    mkdirSync(join(folder, dirname(file)), { recursive: true });
    copyFileSync(at(file), join(folder, file));
  }
  writeFileSync(join(folder, 'package.json'), `${JSON.stringify(manifest, null, 2)}\n`);
  // The pictures stay in the repository: they would be larger than the whole extension.
  const readme = readFileSync(at('README.md'), 'utf8').replace(/^!\[[^\]]*\]\((?!https:)[^)]*\)\n*/gm, '');
  writeFileSync(join(folder, 'README.md'), readme);
}

async function pack() {
  const staged = cache('package');
  stagePackage(staged);
  const packagePath = at('dist', 'festoon.vsix');
  await createVSIX({
    cwd: staged,
    packagePath,
    dependencies: false,
    rewriteRelativeLinks: false,
    allowMissingRepository: true,
  });
  const bytes = statSync(packagePath).size;
  console.log(`dist/festoon.vsix ${Math.ceil(bytes / 1000)} kB of ${budget / 1000} kB`);
  if (bytes > budget) throw new Trouble('The package is larger than it may be.');
}

await command(pack);
