import { sure } from '#grammar/sure.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { type PlacedFinding, placedFindings } from './findings.ts';
import { type Line, styled, wrap } from './page.ts';
import type { NameOf } from './render-findings.ts';

/** A finding that the plan accepts, with its place and the reason. */
export interface PlacedAccepted {
  readonly placed: PlacedFinding;
  readonly reason: string;
}

export function placedAccepted(analysis: Analysis): PlacedAccepted[] {
  const reasons = new Map(analysis.accepted.map(({ finding, by }) => [finding, by.reason]));
  return placedFindings(analysis, [...reasons.keys()]).map((placed) => ({
    placed,
    reason: sure(reasons.get(placed.finding)),
  }));
}

/** One line for each, and its reason: nothing that is accepted goes out of sight altogether. */
export function renderAccepted(accepted: readonly PlacedAccepted[], nameOf: NameOf, width: number): Line[] {
  if (accepted.length === 0) return [];
  const lines: Line[] = [[styled('accepted', 'strong')]];
  for (const { placed, reason } of accepted) {
    const { finding, file, place } = placed;
    lines.push([`  ${nameOf(file.uri)}:${place.line}:${place.column}  `, styled(finding.code, 'faint')]);
    lines.push(...wrap(finding.message, width - 4).map((text): Line => [`    ${text}`]));
    lines.push(...wrap(`because: ${reason}`, width - 4).map((text): Line => [`    ${text}`]));
  }
  return [...lines, []];
}
