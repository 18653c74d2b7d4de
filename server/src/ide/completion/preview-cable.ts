import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../../analysis/analysis.ts';
import { bindDeclaration } from '../../model/declarations.ts';
import { volts } from '../../model/texts.ts';
import { fileIn } from '../file-span.ts';
import { declarationAt } from '../token-at.ts';

/**
 * What a cable part would do where a person is about to write it, at an offset: the drop along the feed and the least
 * voltage of the runs that it serves. Undefined where no feed or lead takes it, or nothing can be computed yet.
 */
export function previewCable(analysis: Analysis, uri: string, offset: number, cable: string): string | undefined {
  const file = fileIn(analysis, uri);
  if (file === undefined) return undefined;
  const declaration = declarationAt(file, offset);
  const start = offset - file.offsets.of(declaration);
  const typed = declaration.text.slice(start).search(/[^\p{L}\p{M}\p{N}_²+-]|$/u);
  const statement = bindDeclaration(file, declaration).statements.findLast(({ whole }) => whole.start <= start);
  const name = statement?.name?.text;
  if (name === undefined || (statement?.word !== 'feed' && statement?.word !== 'run')) return undefined;
  const { plan, account } = analysis.preview([
    { origin: { uri, declaration, start, end: start + typed }, text: cable },
  ]);
  if (statement.word === 'run') return leastOf(name);
  const feed = sure(plan.feeds.get(name));
  const load = account.feeds.get(feed);
  if (load === undefined || !feed.pieces.some((piece) => piece.kind === 'cable')) return undefined;
  const runs = new Set(feed.pieces.flatMap((piece) => (piece.kind === 'tap' ? [piece.tap.run.name] : [])));
  const least = [...runs].flatMap((run) => leastOf(run) ?? []);
  return [`−${volts(Math.abs(load.drop))} in the feed`, ...least].join('; ');

  function leastOf(run: string): string | undefined {
    const lowest = account.runs.get(sure(plan.runs.get(run)))?.least;
    return lowest === undefined ? undefined : `${run} gets ${volts(lowest.volts)} at pixel ${lowest.pixel}`;
  }
}
