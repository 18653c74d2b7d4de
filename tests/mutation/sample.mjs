/** The mistakes that are planted: a seeded sample of all places, of those that compile. */
import { readdirSync, readFileSync } from 'node:fs';
import { join, relative } from 'node:path';
import ts from 'typescript';
import { at } from '../../client/scripts/workshop.mjs';
import { EQUIVALENT } from './equivalent.mjs';
import { mutantsOf } from './mutants.mjs';

/**
 * Of every place in server/src/FOLDER that could be wrong, `count` of those that compile: what the type check refuses
 * cannot land, so it is not planted. The same seed gives the same sample. `reason` says why a mistake is none, where
 * somebody has shown that nothing could notice it. Places that stand in the record of an earlier run are passed over.
 */
export function sample(folder, count, seed, records = []) {
  const used = new Set(records.flatMap((record) => JSON.parse(readFileSync(record, 'utf8')).map(nameOf)));
  const root = at('server', 'src', folder);
  const paths = readdirSync(root, { recursive: true }).filter((path) => path.endsWith('.ts'));
  const all = paths.sort().flatMap((file) => {
    const path = join(root, file);
    const source = readFileSync(path, 'utf8');
    const lines = source.split('\n');
    return mutantsOf(source, path).map((mutant) => ({ ...mutant, path, file, code: lines[mutant.line - 1] }));
  });
  const places = all.length;
  shuffle(all, seed);
  const compiles = compiler();
  const chosen = [];
  let refused = 0;
  let known = 0;
  for (const mutant of all) {
    if (chosen.length === count) break;
    if (used.has(nameOf(mutant))) known++;
    else if (compiles(mutant)) chosen.push({ ...mutant, id: chosen.length, reason: reasonOf(mutant) });
    else refused++;
  }
  const passedOver = `${refused} that do not compile are passed over${known > 0 ? `, and ${known} of earlier runs` : ''}`;
  console.log(`${places} places in server/src/${folder}; ${passedOver}`);
  return chosen;
}

/** Tells a place from others also when lines before it have come or gone. */
const nameOf = ({ file, within, code, what }) => JSON.stringify([file, within, code.trim(), what]);

function shuffle(list, seed) {
  let state = seed >>> 0;
  const below = (most) => {
    state = (Math.imul(state, 1664525) + 1013904223) >>> 0;
    return Math.floor((state / 2 ** 32) * most);
  };
  for (let index = list.length - 1; index > 0; index--) {
    const other = below(index + 1);
    [list[index], list[other]] = [list[other], list[index]];
  }
}

const reasonOf = (mutant) =>
  EQUIVALENT.find(
    ({ file, within, code, what }) =>
      (file === undefined || mutant.file.replaceAll('\\', '/') === file) &&
      (within === undefined || mutant.within === within) &&
      (code === undefined || code.test(mutant.code)) &&
      what.test(mutant.what),
  )?.reason;

/** Tells whether a source with one mistake in it still passes the type check, as far as its own file goes. */
function compiler() {
  const texts = new Map();
  const services = new Map();
  const serviceOf = (config) => {
    const known = services.get(config);
    if (known !== undefined) return known;
    const { fileNames, options } = ts.parseJsonConfigFileContent(
      ts.readConfigFile(config, ts.sys.readFile).config,
      ts.sys,
      at(relative(at(), join(config, '..'))),
    );
    const service = ts.createLanguageService({
      getCompilationSettings: () => ({ ...options, noEmit: true, composite: false, incremental: false }),
      getScriptFileNames: () => fileNames,
      getScriptVersion: (path) => String(texts.get(path)?.version ?? 0),
      getScriptSnapshot: (path) => {
        const text = texts.get(path)?.text ?? ts.sys.readFile(path);
        return text === undefined ? undefined : ts.ScriptSnapshot.fromString(text);
      },
      getCurrentDirectory: () => at(),
      getDefaultLibFileName: (own) => ts.getDefaultLibFilePath(own),
      fileExists: ts.sys.fileExists,
      readFile: ts.sys.readFile,
      directoryExists: ts.sys.directoryExists,
      getDirectories: ts.sys.getDirectories,
    });
    services.set(config, service);
    return service;
  };
  const problems = (service, path) => [
    ...service.getSyntacticDiagnostics(path),
    ...service.getSemanticDiagnostics(path),
  ];
  return ({ path, start, end, text }) => {
    const service = serviceOf(ts.findConfigFile(join(path, '..'), ts.sys.fileExists));
    const source = readFileSync(path, 'utf8');
    const version = (texts.get(path)?.version ?? 0) + 1;
    texts.set(path, { version, text: source.slice(0, start) + text + source.slice(end) });
    const isSound = problems(service, path).length === 0;
    texts.set(path, { version: version + 1, text: source });
    return isSound;
  };
}
