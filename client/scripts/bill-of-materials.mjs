import { readFileSync } from 'node:fs';
import { at } from './workshop.mjs';

/**
 * The bill of materials of the packages in the bundles, as CycloneDX 1.6 (ECMA-424) writes it in JSON: name, version, licence
 * and fingerprint of each, as the lockfile has them, and which of them rests on which. The same build gives the same bytes, so
 * it bears neither a date nor a serial number. `folders` are those of the packages, as `node_modules/chevrotain`.
 */
export function billOfMaterials(folders) {
  const { name, version, license } = JSON.parse(readFileSync(at('package.json'), 'utf8'));
  const { packages } = JSON.parse(readFileSync(at('package-lock.json'), 'utf8'));
  const own = { type: 'application', 'bom-ref': addressOf(name, version), name, version, licenses: licences(license) };
  const parts = folders.map((folder) => ({ folder, ...packages[folder], name: nameIn(folder) }));
  const needed = ({ folder, dependencies = {} }) =>
    Object.keys(dependencies)
      .map((each) => parts.find((part) => part.folder === found(packages, folder, each)))
      .flatMap((part) => (part === undefined ? [] : addressOf(part.name, part.version)));
  return {
    $schema: 'http://cyclonedx.org/schema/bom-1.6.schema.json',
    bomFormat: 'CycloneDX',
    specVersion: '1.6',
    version: 1,
    metadata: { component: own },
    components: parts.map(component),
    dependencies: [
      { ref: own['bom-ref'], dependsOn: parts.map((part) => addressOf(part.name, part.version)).sort() },
      ...parts.map((part) => ({ ref: addressOf(part.name, part.version), dependsOn: needed(part).sort() })),
    ],
  };
}

function component({ name, version, license, integrity }) {
  const [algorithm, digest] = integrity.split('-');
  if (algorithm !== 'sha512') throw new Error(`${name} has no SHA-512 in the lockfile`);
  return {
    type: 'library',
    'bom-ref': addressOf(name, version),
    name,
    version,
    hashes: [{ alg: 'SHA-512', content: Buffer.from(digest, 'base64').toString('hex') }],
    licenses: licences(license),
    purl: addressOf(name, version),
  };
}

/** An SPDX name of a licence, as packages give it. */
const licences = (id) => [{ license: { id } }];

/** A package URL: the @ of a scope is written %40. */
const addressOf = (name, version) => `pkg:npm/${name.replace('@', '%40')}@${version}`;

const nameIn = (folder) => folder.replace(/^.*node_modules\//, '');

/** The folder of a package as seen from another: its own copy, or that of the folder around it. */
function found(packages, folder, name) {
  for (let around = folder; around !== ''; around = around.replace(/\/?(?:node_modules\/)?(?:@[^/]+\/)?[^/]+$/, ''))
    if (`${around}/node_modules/${name}` in packages) return `${around}/node_modules/${name}`;
  return `node_modules/${name}`;
}
