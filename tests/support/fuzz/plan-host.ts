import { readSource, type SourceFile } from '#grammar/source.ts';
import { type Analysis, analyse, type FileReader } from '#server/analysis/analysis.ts';
import { type FileText, Host } from '#server/analysis/host.ts';
import { PieceCache } from '#server/analysis/pieces.ts';
import { SolutionCache } from '#server/model/solution-cache.ts';
import { BENCH } from './corpus.ts';

export const FOLDER = 'file:///display/';
export const MAIN = `${FOLDER}plan.festoon`;

/** A host with one plan in a folder where only the bench of parts lies. */
export function hostOfText(text: string): Host {
  const host = new Host(readBench, FOLDER);
  host.setFile(MAIN, text);
  return host;
}

function readBench(uri: string): FileText {
  return uri === BENCH_URI ? { text: BENCH } : { missing: true };
}

const BENCH_URI = `${FOLDER}bench.festoon`;
let bench: SourceFile | undefined;

/** The same plan read for the first time; only the bench, which never changes, is not parsed again. */
export function analyseCold(text: string): Analysis {
  bench ??= readSource(BENCH_URI, BENCH);
  const files = new Map([
    [BENCH_URI, bench],
    [MAIN, readSource(MAIN, text)],
  ]);
  const read: FileReader = (uri) => files.get(uri) ?? 'missing';
  const pieces = new PieceCache(new SolutionCache());
  return analyse(
    MAIN,
    read,
    FOLDER,
    (statements) => pieces.assemble(statements),
    () => {
      throw new Error('nothing is tried on this plan');
    },
  );
}
