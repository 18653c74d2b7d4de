/** Packs the built extension into dist/festoon.vsix, and holds the package to a size. */
import { existsSync, readFileSync, statSync } from 'node:fs';
import { createVSIX } from '@vscode/vsce';
import { at, command, Trouble } from './workshop.mjs';

const budget = 1_000_000;

await command(async () => {
  // vsce itself only warns when a listed file is absent, and the package would then fail on someone's machine.
  const { files } = JSON.parse(readFileSync(at('package.json'), 'utf8'));
  const absent = files.filter((file) => !existsSync(at(file)));
  if (absent.length > 0)
    throw new Trouble(`These files belong into the package and are not there: ${absent.join(', ')}`);

  const packagePath = at('dist', 'festoon.vsix');
  await createVSIX({
    cwd: at(),
    packagePath,
    dependencies: false,
    rewriteRelativeLinks: false,
    allowMissingRepository: true,
  });
  const bytes = statSync(packagePath).size;
  console.log(`dist/festoon.vsix ${Math.ceil(bytes / 1000)} kB of ${budget / 1000} kB`);
  if (bytes > budget) throw new Trouble('The package is larger than it may be.');
});
