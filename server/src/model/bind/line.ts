import type { Item, Span, Statement } from '#grammar/ast.ts';
import { sure } from '#grammar/sure.ts';
import type { Entry, Phrase } from '#grammar/words/entry.ts';
import { type Binding, originOf } from '../binding.ts';
import type { Given } from '../bound.ts';
import type { Fix, Origin, Report } from '../finding.ts';
import { capital, lowerFirst } from './wording.ts';

/** A line while its items are matched to the phrases of its entry: how far it is read, and what was given so far. */
export class LineBinding {
  readonly ctx: Binding;
  readonly statement: Statement;
  readonly entry: Entry;
  readonly items: readonly Item[];
  /** Which item is read next. */
  at: number;
  name: { text: string; origin: Origin } | undefined;
  readonly fields: Record<string, Given<unknown>> = {};
  /** Phrases that stand there. Those that could not be read have been reported, so they are not missing. */
  readonly said = new Set<string>();
  private places: ReadonlyMap<string, number> | undefined;

  constructor(ctx: Binding, statement: Statement, entry: Entry) {
    this.ctx = ctx;
    this.statement = statement;
    this.entry = entry;
    this.items = statement.items;
    this.at = entry.word.split(' ').length;
  }

  get keyword(): Origin {
    const last = sure(this.items[this.entry.word.split(' ').length - 1]);
    return this.origin({ start: sure(this.items[0]).span.start, end: last.span.end });
  }

  /** The last place of each word on the line, found once: a line may have a hundred thousand words without a place. */
  get lastPlaces(): ReadonlyMap<string, number> {
    this.places ??= new Map(this.items.flatMap((item, at) => (item.kind === 'word' ? [[item.text, at] as const] : [])));
    return this.places;
  }

  /** Keeps the value of a phrase; the first one holds. */
  give(phrase: Phrase, value: unknown, span: Span): void {
    const before = this.fields[phrase.key];
    if (before !== undefined) {
      this.report(span, {
        code: 'said-twice',
        message: `${phrase.word === undefined ? capital(lowerFirst(phrase.help)).replace(/\.$/, '') : `"${phrase.word}"`} is said twice on this line; the first one holds.`,
        related: [{ origin: before.origin, message: 'First said here.' }],
      });
      return;
    }
    this.fields[phrase.key] = new Said(value, this.origin(span));
  }

  replacement(span: Span, text: string): Fix {
    return { title: `Write ${text}`, edits: [{ origin: this.origin(span), text }], preferred: true };
  }

  report(at: Span, finding: Omit<Parameters<Report>[0], 'origin'>): void {
    this.ctx.report({ ...finding, origin: this.origin(at) });
  }

  origin(span: Span): Origin {
    return originOf(this.ctx, span);
  }

  textOf(span: Span): string {
    return this.ctx.declaration.text.slice(span.start, span.end);
  }
}

/** A value that stands in the text, which is cut out when it is asked for: a large plan has tens of thousands of them. */
class Said implements Given<unknown> {
  readonly value: unknown;
  readonly origin: Origin;

  constructor(value: unknown, origin: Origin) {
    this.value = value;
    this.origin = origin;
  }

  get text(): string {
    const { declaration, start, end } = this.origin;
    return declaration.text.slice(start, end);
  }
}
