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
  // A client may ask for the place of an earlier text, where the name itself stands by now.
  const feed = plan.feeds.get(name);
  const load = feed && account.feeds.get(feed);
  if (feed === undefined || load === undefined || !feed.pieces.some((piece) => piece.kind === 'cable'))
    return undefined;
  const runs = new Set(feed.pieces.flatMap((piece) => (piece.kind === 'tap' ? [piece.tap.run.name] : [])));
  const least = [...runs].flatMap((run) => leastOf(run) ?? []);
  return [`−${volts(Math.abs(load.drop))} in the feed`, ...least].join('; ');

  function leastOf(run: string): string | undefined {
    const found = plan.runs.get(run);
    const lowest = found && account.runs.get(found)?.least;
    return lowest === undefined ? undefined : `${run} gets ${volts(lowest.volts)} at pixel ${lowest.pixel}`;
  }
}
