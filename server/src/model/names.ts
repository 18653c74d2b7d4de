import { originOf } from './binding.ts';
import type { Given, Reference } from './bound.ts';
import type { Origin, Report } from './finding.ts';
import type { KindOf } from './kinds.ts';
import type { NameUse } from './plan.ts';
import { closest } from './spelling.ts';

/** The names of one kind of thing; first come keeps the name, later ones are reported. */
export class Names<T extends { readonly name: string; readonly origin: Origin }> {
  readonly map: Map<string, T>;
  private readonly kind: string;
  private readonly ctx: NameContext;
  /** Names of the kind in the whole plan, where only a part of it is built: for hints. */
  private readonly others: Iterable<string>;

  constructor(ctx: NameContext, kind: string, map = new Map<string, T>(), others: Iterable<string> = []) {
    this.ctx = ctx;
    this.kind = kind;
    this.map = map;
    this.others = others;
  }

  /** The same names, reported and noted in another place. */
  reportedTo(ctx: NameContext): Names<T> {
    return new Names(ctx, this.kind, this.map);
  }

  add(thing: T): void {
    const before = this.map.get(thing.name);
    if (before === undefined) {
      this.map.set(thing.name, thing);
      return;
    }
    this.ctx.report({
      code: 'duplicate-name',
      origin: thing.origin,
      message: `There already is a ${this.kind} "${thing.name}". Give this one another name; until then the first one holds.`,
      related: [{ origin: before.origin, message: 'The first one.' }],
    });
  }

  /** The thing of that name; reports and gives nothing when there is none. */
  find(name: string, origin: Origin): T | undefined {
    const thing = this.map.get(name);
    if (thing !== undefined) {
      this.ctx.uses.push({ origin, target: thing.origin });
      return thing;
    }
    const known = [...new Set([...this.map.keys(), ...this.others])];
    const other = this.ctx.kindOf?.(name);
    const near = other === undefined ? closest(name, known) : undefined;
    const what =
      other === undefined
        ? `There is no ${this.kind} "${name}".`
        : `${name} is a ${other}; a ${this.kind} is due here.`;
    const hint = near === undefined ? this.hint(known) : ` Did you mean "${near}"?`;
    this.ctx.report({
      code: 'unknown-name',
      origin,
      message: `${what}${hint}`,
      ...(other === undefined && near === undefined ? { mayBeElsewhere: true } : {}),
      fixes: near === undefined ? [] : [{ title: `Write ${near}`, edits: [{ origin, text: near }], preferred: true }],
    });
    return undefined;
  }

  refer(given: Given<Reference> | undefined): T | undefined {
    if (given === undefined) return undefined;
    return this.find(given.value.name, nameOrigin(given));
  }

  private hint(known: readonly string[]): string {
    const some = known.slice(0, 6);
    return some.length === 0
      ? ` The plan has no ${this.kind} yet.`
      : ` The plan has: ${some.join(', ')}${known.length > 6 ? ', …' : ''}.`;
  }
}

export interface NameContext {
  readonly report: Report;
  readonly uses: NameUse[];
  /** What else a name may be; absent where names of every kind are looked for. */
  readonly kindOf?: KindOf;
}

/** Where the first word of a reference stands. */
export function nameOrigin({ origin, value }: Given<Reference>): Origin {
  return origin.end === value.nameEnd ? origin : originOf(origin, { start: origin.start, end: value.nameEnd });
}
