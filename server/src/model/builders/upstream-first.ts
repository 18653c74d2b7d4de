import type { BoundStatement } from '../declarations.ts';

/**
 * Statements so that each comes after the one that it names, and those that name each other in a ring, which have no such
 * order.
 */
export function upstreamFirst<S extends BoundStatement>(
  statements: readonly S[],
  upstream: (statement: S) => string | undefined,
): { readonly ordered: readonly S[]; readonly rings: readonly S[] } {
  const names = new Set(statements.flatMap(({ name }) => name?.text ?? []));
  const ordered: S[] = [];
  const done = new Set<string>();
  let waiting = statements;
  for (;;) {
    const ready = waiting.filter((statement) => {
      const name = upstream(statement);
      return name === undefined || !names.has(name) || done.has(name);
    });
    if (ready.length === 0) return { ordered, rings: waiting };
    for (const statement of ready) {
      ordered.push(statement);
      if (statement.name !== undefined) done.add(statement.name.text);
    }
    waiting = waiting.filter((statement) => !ready.includes(statement));
  }
}
