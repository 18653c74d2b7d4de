import type { Span } from '#grammar/ast.ts';
import type { Declaration } from '#grammar/source.ts';
import type { Origin, Report } from './finding.ts';

/** Where binding stands and where it reports. */
export interface Binding {
  readonly uri: string;
  readonly declaration: Declaration;
  readonly report: Report;
}

export function originOf(ctx: Pick<Binding, 'uri' | 'declaration'>, span: Span): Origin {
  return { uri: ctx.uri, declaration: ctx.declaration, start: span.start, end: span.end };
}
