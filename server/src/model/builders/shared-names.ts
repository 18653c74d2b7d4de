import type { Named } from '../plan.ts';
import type { Build } from './context.ts';

/**
 * Supplies, boards and controllers share one room of names: `box.1` would be an output of one and a port of the other,
 * and a bond or a label could mean either.
 */
export function reportSharedNames(build: Build): void {
  const seen = new Map<string, { readonly kind: string; readonly thing: Named }>();
  for (const [kind, names] of [
    ['supply', build.supplies],
    ['board', build.boards],
    ['controller', build.controllers],
  ] as const) {
    for (const thing of names.map.values()) {
      const before = seen.get(thing.name);
      if (before === undefined) {
        seen.set(thing.name, { kind, thing });
        continue;
      }
      build.report({
        code: 'duplicate-name',
        origin: thing.origin,
        message: `${thing.name} is the name of a ${before.kind} too, so nobody knows which of them "${thing.name}.1" is on. Give this ${kind} another name.`,
        related: [{ origin: before.thing.origin, message: `The ${before.kind}.` }],
      });
    }
  }
}
