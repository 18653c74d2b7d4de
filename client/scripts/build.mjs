/** Bundles the extension, the language server and the command line into dist/, and holds them to a size. */
import { readdirSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { build } from 'esbuild';
import { billOfMaterials } from './bill-of-materials.mjs';
import { bundles, optionsFor } from './bundles.mjs';
import { at, command } from './workshop.mjs';

/** Bundles one entry and returns the names of the files that went into it. */
async function bundle(each) {
  const { metafile } = await build(optionsFor(each));
  return Object.keys(metafile.inputs);
}

/** The folders of the packages that are bundled. */
function packagesOf(inputs) {
  const folders = inputs.flatMap((input) => input.match(/^.*node_modules\/(?:@[^/]+\/)?[^/]+/)?.[0] ?? []);
  return [...new Set(folders)].sort();
}

/** The licences of the packages that are bundled, as those licences ask. */
function notices(folders) {
  const texts = folders.map((folder) => {
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
  const packages = packagesOf(inputs);
  writeFileSync(at('dist', 'NOTICES.txt'), notices(packages));
  writeFileSync(at('dist', 'festoon.cdx.json'), `${JSON.stringify(billOfMaterials(packages), null, 1)}\n`);
  return over === 0 ? 0 : 1;
});
