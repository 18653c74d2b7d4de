/** Bundles the extension, the language server and the command line into dist/, and holds them to a size. */
import { mkdirSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { dirname, relative, sep } from 'node:path';
import { build } from 'esbuild';
import { billOfMaterials } from './bill-of-materials.mjs';
import { budgets, bundles, optionsFor } from './bundles.mjs';
import { at, command } from './workshop.mjs';

/** Makes one bundle and writes its files. Returns the names of the files that went into it, and how many are too large. */
async function bundle(each) {
  const { metafile, outputFiles } = await build(optionsFor(each));
  let over = 0;
  for (const { path, contents } of outputFiles) {
    mkdirSync(dirname(path), { recursive: true });
    writeFileSync(path, contents);
    if (!path.endsWith('.map') && !fits(relative(at(), path).replaceAll(sep, '/'), contents.length)) over++;
  }
  return { inputs: Object.keys(metafile.inputs), over };
}

/** A file that nobody foresaw may have no bytes at all. */
function fits(name, bytes) {
  const budget = budgets[name] ?? 0;
  const fit = bytes <= budget;
  const size = String(Math.ceil(bytes / 1000)).padStart(5);
  console.log(`${name.padEnd(18)} ${size} kB of ${budget / 1000} kB${fit ? '' : '  TOO BIG'}`);
  return fit;
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
  const made = [];
  for (const each of bundles) made.push(await bundle(each));
  const packages = packagesOf(made.flatMap(({ inputs }) => inputs));
  writeFileSync(at('dist', 'NOTICES.txt'), notices(packages));
  writeFileSync(at('dist', 'festoon.cdx.json'), `${JSON.stringify(billOfMaterials(packages), null, 1)}\n`);
  return made.every(({ over }) => over === 0) ? 0 : 1;
});
