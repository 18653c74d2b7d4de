import type { SourceFile } from '#grammar/source.ts';
import { type Analysis, levelOf } from '../analysis/analysis.ts';
import type { Finding, Level, Origin } from '../model/finding.ts';
import { type Place, placeOf } from './place.ts';

/** A finding with its places in files. */
export interface PlacedFinding {
  readonly finding: Finding;
  readonly level: Level;
  readonly file: SourceFile;
  readonly place: Place;
  readonly related: readonly { readonly file: SourceFile; readonly place: Place; readonly message: string }[];
}

/** The findings of a plan, or some of what was found in it, in the order of its files and of their lines. */
export function placedFindings(analysis: Analysis, findings = analysis.findings): PlacedFinding[] {
  const files = new Map(analysis.files.map((file, order) => [file.uri, { file, order }]));
  const placeIn = (origin: Origin) => {
    const found = files.get(origin.uri);
    return found === undefined ? undefined : { ...found, place: placeOf(found.file, origin) };
  };
  const placed = findings.flatMap((finding) => {
    const at = placeIn(finding.origin);
    if (at === undefined) return [];
    const related = finding.related.slice(0, MOST_RELATED).flatMap(({ origin, message }) => {
      const other = placeIn(origin);
      return other === undefined ? [] : [{ file: other.file, place: other.place, message }];
    });
    return [{ finding, level: levelOf(finding), ...at, related }];
  });
  return placed.sort((a, b) => a.order - b.order || a.place.line - b.place.line || a.place.column - b.place.column);
}

const MOST_RELATED = 8;

export type Counts = Readonly<Record<Level, number>>;

export function countLevels(findings: readonly { readonly level: Level }[]): Counts {
  const counts: Record<Level, number> = { error: 0, warning: 0, information: 0 };
  for (const { level } of findings) counts[level]++;
  return counts;
}
