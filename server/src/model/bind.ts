import type { DateItem, Item, Quantity, Span, Statement, Word } from '#grammar/ast.ts';
import { DIMENSIONS, type Dimension, toSi, UNITS } from '#grammar/units.ts';
import type { Entry, Phrase, Value } from '#grammar/words/entry.ts';
import { type Binding, originOf } from './binding.ts';
import type { Bound, BoundLine, Given, Measure, PathValue, Range, Reference } from './bound.ts';
import type { Fix, Origin } from './finding.ts';
import { type Meant, phraseMeant } from './meant.ts';
import { measureOf } from './measure.ts';
import { closest } from './spelling.ts';
import { withArticle } from './texts.ts';

/**
 * Matches the items of a statement to the phrases of its vocabulary entry. Whatever does not fit is reported on its
 * own word and left out; all that fits is kept, so that a line in the middle of being typed still says what it can.
 */
export function bindStatement<E extends Entry>(ctx: Binding, statement: Statement, entry: E): Bound<E> {
  return new Binder(ctx, statement, entry).bind() as unknown as Bound<E>;
}

type AnyGiven = Given<unknown>;

class Binder {
  private readonly items: readonly Item[];
  /** Phrases that stand there. Those that could not be read have been reported, so they are not missing. */
  private readonly said = new Set<string>();
  private readonly fields: Record<string, AnyGiven> = {};
  private at: number;
  private places: Map<string, number> | undefined;
  private name: { text: string; origin: Origin } | undefined;

  private readonly ctx: Binding;
  private readonly statement: Statement;
  private readonly entry: Entry;

  constructor(ctx: Binding, statement: Statement, entry: Entry) {
    this.ctx = ctx;
    this.statement = statement;
    this.entry = entry;
    this.items = statement.items;
    this.at = entry.word.split(' ').length;
  }

  bind(): Bound<Entry> {
    this.readName();
    while (this.at < this.items.length) this.readPhrase();
    this.reportMissing();
    const last = this.items.at(-1);
    const whole = this.origin(this.statement.span);
    const end = last?.span.end ?? whole.end;
    return {
      entry: this.entry,
      word: this.entry.word,
      keyword: this.keyword(),
      name: this.name,
      fields: this.fields as Bound<Entry>['fields'],
      said: shared(this.said),
      line: end === whole.end ? whole : { ...whole, end },
      whole,
      description: this.statement.description,
      block: this.bindBlock() as unknown as Bound<Entry>['block'],
    };
  }

  private keyword(): Origin {
    const first = this.items[0]?.span ?? this.statement.span;
    const last = this.items[this.entry.word.split(' ').length - 1]?.span ?? first;
    return this.origin({ start: first.start, end: last.end });
  }

  private readName(): void {
    if (this.entry.name === 'none') return;
    const item = this.items[this.at];
    const isWord = item?.kind === 'word' && /^[\p{L}_]/u.test(item.text);
    if (isWord && (!this.leads(item) || this.reportLeadAsName(item))) {
      this.name = { text: item.text, origin: this.origin(item.nameSpan) };
      if (item.steps.length > 0) {
        this.ctx.report({
          code: 'unexpected-word',
          origin: this.origin(item.span),
          message: `${capital(withArticle(this.entry.word))} is named with a plain word, without dots or brackets.`,
        });
      }
      this.at++;
    } else if (this.entry.name === 'required') {
      if (item?.kind === 'quantity' && item.terms.length === 1 && item.terms[0]?.unit === undefined) {
        this.at++;
        return this.ctx.report({
          code: 'missing-name',
          origin: this.origin(item.span),
          message: `A name starts with a letter, so ${this.textOf(item.span)} cannot be one. For example: ${firstLine(this.entry.example)}`,
        });
      }
      this.ctx.report({
        code: 'missing-name',
        origin: this.keyword(),
        message: `This ${this.entry.word} has no name. Write one after "${this.entry.word}", for example: ${firstLine(this.entry.example)}`,
      });
    }
  }

  private leads(item: Item | undefined): boolean {
    return item?.kind === 'word' && this.entry.phrases.some(({ word }) => word !== undefined && word === item.text);
  }

  /** "feed x from psu.1": where the next phrase begins right behind a word of the line, the word was meant as the name. */
  private reportLeadAsName(item: Word): boolean {
    if (!this.leads(this.items[this.at + 1])) return false;
    this.ctx.report({
      code: 'missing-name',
      origin: this.origin(item.span),
      message: `"${item.text}" is a word of every ${this.entry.word} line, so it cannot be a name there. Choose another one.`,
    });
    return true;
  }

  private readPhrase(): void {
    const item = this.items[this.at];
    if (item === undefined) return;
    if (item.kind === 'stray') {
      this.at++;
      return;
    }
    if (item.kind === 'word') {
      const led = this.ledBy(item);
      if (led !== undefined) {
        this.at++;
        this.readValue(led, item);
        return;
      }
    }
    const positional = this.entry.phrases.find(
      (phrase) => phrase.word === undefined && this.fields[phrase.key] === undefined && this.fits(phrase.value, item),
    );
    if (positional !== undefined) return this.readValue(positional, undefined);
    const meant = item.kind === 'word' ? this.phraseMeant(item) : undefined;
    if (item.kind === 'word' && meant !== undefined) this.readMeant(item, meant);
    else this.reportUnexpected(item);
  }

  private phraseMeant(item: Word): Meant | undefined {
    const comesLater = (word = '') => (this.lastPlaces().get(word) ?? -1) > this.at;
    const open = this.entry.phrases.filter(({ key, word }) => !this.said.has(key) && !comesLater(word));
    return phraseMeant(item, this.items[this.at + 1], open, (phrase, other) => this.fits(phrase.value, other));
  }

  /** The last place of each word on the line, found once: a line may have a hundred thousand words without a place. */
  private lastPlaces(): ReadonlyMap<string, number> {
    this.places ??= new Map(this.items.flatMap((item, at) => (item.kind === 'word' ? [[item.text, at] as const] : [])));
    return this.places;
  }

  /** What is meant is plain, so it is reported once and read as it was meant. */
  private readMeant(item: Word, { phrase, how }: Meant): void {
    const span = how === 'left-out' ? { start: item.span.start, end: item.span.start } : item.span;
    const message = {
      misspelt: `"${item.text}" has no place on ${withArticle(this.entry.word)} line. Did you mean "${phrase.word}"?`,
      'other-word': `"${item.text}" has no place on ${withArticle(this.entry.word)} line. "${phrase.word}" leads here to ${lowerFirst(phrase.help)}`,
      'left-out': `"${phrase.word}" is missing before ${this.textOf(item.span)}. ${phrase.help}`,
    }[how];
    this.ctx.report({
      code: how === 'left-out' ? 'missing-phrase' : 'unexpected-word',
      origin: this.origin(item.span),
      message,
      fixes: [this.replacement(span, how === 'left-out' ? `${phrase.word} ` : phrase.word)],
    });
    if (how !== 'left-out') this.at++;
    this.readValue(phrase, how === 'left-out' ? undefined : item);
  }

  /** The phrase that a word leads. One word may lead two phrases, `at least` and `at 50 %`: what follows tells. */
  private ledBy(word: Word): Phrase | undefined {
    if (word.steps.length > 0) return undefined;
    const led = this.entry.phrases.filter((phrase) => phrase.word === word.text);
    const next = this.items[this.at + 1];
    return led.find((phrase) => next !== undefined && this.fits(phrase.value, next)) ?? led[0];
  }

  /** Could this item start a value of that kind? Decides which phrase without a word is meant. */
  private fits(value: Value, item: Item): boolean {
    switch (value.type) {
      case 'quantity':
        return item.kind === 'quantity' && value.of.includes(dimensionOf(item) as Dimension);
      case 'whole':
        return item.kind === 'quantity' && item.terms.length === 1 && item.terms[0]?.unit === undefined;
      case 'range':
        return item.kind === 'quantity';
      case 'reference':
      case 'path':
        return item.kind === 'word';
      case 'choice':
      case 'choices':
      case 'code':
      case 'currency':
        return item.kind === 'word';
      case 'text':
      case 'date':
        return item.kind === value.type;
      case 'flag':
        return false;
    }
  }

  private readValue(phrase: Phrase, lead: Word | undefined): void {
    const value = phrase.value;
    this.said.add(phrase.key);
    const start = this.items[this.at];
    if (value.type === 'flag') {
      if (lead !== undefined) this.give(phrase, true, lead.span);
    } else if (start === undefined) {
      if (lead !== undefined) this.reportNoValue(phrase, lead);
    } else {
      this.readItems(phrase, value, start, lead);
    }
  }

  private readItems(
    phrase: Phrase,
    value: Exclude<Value, { type: 'flag' }>,
    start: Item,
    lead: Word | undefined,
  ): void {
    switch (value.type) {
      case 'quantity':
        return this.readQuantity(phrase, value, start, lead);
      case 'whole':
        return this.readWhole(phrase, value, start, lead);
      case 'range':
        return this.readRange(phrase, value, start, lead);
      case 'reference':
        return this.readReference(phrase, start, lead);
      case 'path':
        return this.readPath(phrase, start, lead);
      case 'choice':
        return this.readChoice(phrase, value.of, start, lead);
      case 'choices':
        return this.readChoices(phrase, value.of);
      case 'currency':
        if (start.kind === 'word' && /\d/.test(start.text)) return this.reportNoCurrency(start);
        return this.readPlainWord(phrase, start, lead);
      case 'code':
        return this.readPlainWord(phrase, start, lead);
      case 'text':
      case 'date':
        if (start.kind !== value.type) return this.reportNoValue(phrase, lead);
        this.at++;
        if (start.kind === 'date' && !isDay(start.value)) return this.reportNoDay(start);
        return this.give(phrase, start.value, start.span);
    }
  }

  private readPlainWord(phrase: Phrase, item: Item, lead: Word | undefined): void {
    if (item.kind !== 'word') return this.reportNoValue(phrase, lead);
    this.at++;
    this.give(phrase, item.text, item.span);
  }

  /** "1e12 EUR" is the number 1 and a word. */
  private reportNoCurrency(item: Word): void {
    this.at = this.items.length;
    this.ctx.report({
      code: 'unexpected-word',
      origin: this.origin(item.span),
      message: `"${item.text}" is no currency. Write the amount in digits and the currency after it: ${firstLine(this.entry.example)}`,
    });
  }

  private readQuantity(phrase: Phrase, value: Value & { type: 'quantity' }, item: Item, lead: Word | undefined): void {
    if (item.kind !== 'quantity') return this.reportNoValue(phrase, lead);
    this.at++;
    const si = this.measure(item, value.of);
    if (si !== undefined && this.isPossible(phrase, value, si, item))
      this.give(phrase, si satisfies Measure, item.span);
  }

  /** Is the value within what can be real? Reports when it is not. */
  private isPossible(
    phrase: Phrase,
    { least, most }: { readonly least?: number; readonly most?: number },
    { si, dimension }: Measure,
    item: Quantity,
  ): boolean {
    const isWithin = (least === undefined || si >= least) && (most === undefined || si <= most);
    const isPart = COUNTED.has(dimension) && !Number.isInteger(si);
    if (isWithin && !isPart) return true;
    this.ctx.report({
      code: 'impossible-value',
      origin: this.origin(item.span),
      message: isWithin
        ? `${this.textOf(item.span)} cannot be real: ${dimension} are counted in whole numbers.`
        : `${this.textOf(item.span)} cannot be real here: ${askedFor(phrase)}, from ${inUnits(least, dimension)} to ${inUnits(most, dimension)}.`,
    });
    return false;
  }

  private readWhole(phrase: Phrase, value: Value & { type: 'whole' }, item: Item, lead: Word | undefined): void {
    if (item.kind !== 'quantity') return this.reportNoValue(phrase, lead);
    this.at++;
    const term = item.terms[0];
    if (term === undefined || term.unit !== undefined || item.terms.length > 1) {
      this.ctx.report({
        code: 'wrong-dimension',
        origin: this.origin(item.span),
        message: `A plain number without a unit is due here: ${lowerFirst(phrase.help)}`,
      });
      return;
    }
    if (!(value.fractions || Number.isInteger(term.value)) || term.value < value.least || term.value > value.most) {
      this.ctx.report({
        code: 'impossible-value',
        origin: this.origin(item.span),
        message: `${this.textOf(item.span)} cannot be real here: ${askedFor(phrase)}, a ${value.fractions ? '' : 'whole '}number from ${value.least} to ${value.most}.`,
      });
      return;
    }
    this.give(phrase, term.value, item.span);
  }

  private readRange(phrase: Phrase, value: Value & { type: 'range' }, item: Item, lead: Word | undefined): void {
    if (item.kind !== 'quantity') return this.reportNoValue(phrase, lead);
    this.at++;
    const from = this.measure(item, [value.of]);
    const word = this.items[this.at];
    const second = this.items[this.at + 1];
    if (word?.kind !== 'word' || word.text !== 'to' || second?.kind !== 'quantity') {
      this.ctx.report({
        code: 'missing-phrase',
        origin: this.origin(item.span),
        message: `A range is due here: "… to …". ${phrase.help}`,
      });
      return;
    }
    this.at += 2;
    const to = this.measure(second, [value.of]);
    if (from === undefined || to === undefined) return;
    if (!this.isPossible(phrase, value, from, item) || !this.isPossible(phrase, value, to, second)) return;
    if (from.si > to.si) {
      this.ctx.report({
        code: 'impossible-value',
        origin: this.origin({ start: item.span.start, end: second.span.end }),
        message: 'The smaller value of a range comes first.',
      });
      return;
    }
    this.give(phrase, { from: from.si, to: to.si } satisfies Range, { start: item.span.start, end: second.span.end });
  }

  private readReference(phrase: Phrase, item: Item, lead: Word | undefined): void {
    if (item.kind !== 'word') return this.reportNoValue(phrase, lead);
    this.at++;
    const { text: name, steps, nameSpan } = item;
    this.give(phrase, { name, steps, nameEnd: nameSpan.end } satisfies Reference, item.span);
  }

  private readPath(phrase: Phrase, item: Item, lead: Word | undefined): void {
    const places: PathValue['places'][number][] = [];
    let end = item.span.end;
    for (let expectPlace = true; ; expectPlace = !expectPlace) {
      const word = this.items[this.at];
      if (word?.kind !== 'word' || (!expectPlace && word.text !== 'to')) break;
      // "along shed to roof  to eaves.end": a place has no dots or brackets, so here the next phrase has begun.
      if (!expectPlace && (this.items[this.at + 1] as { steps?: readonly unknown[] } | undefined)?.steps?.length !== 0)
        break;
      if (expectPlace) places.push({ name: word.text, origin: this.origin(word.nameSpan) });
      end = word.span.end;
      this.at++;
    }
    if (places.length === 0) return this.reportNoValue(phrase, lead);
    if (places.length === 1) {
      this.ctx.report({
        code: 'missing-phrase',
        origin: places[0]?.origin ?? this.origin(item.span),
        message: 'A way goes from one place to another: "shed to roof".',
      });
      return;
    }
    this.give(phrase, { places } satisfies PathValue, { start: item.span.start, end });
  }

  private readChoice(phrase: Phrase, of: readonly string[], item: Item, lead: Word | undefined): void {
    if (item.kind !== 'word') return this.reportNoValue(phrase, lead);
    this.at++;
    if (of.includes(item.text)) return this.give(phrase, item.text, item.span);
    this.reportNotAmong(item, of);
  }

  private readChoices(phrase: Phrase, of: readonly string[]): void {
    const found: string[] = [];
    const start = this.items[this.at]?.span ?? this.statement.span;
    let end = start.end;
    for (;;) {
      const item = this.items[this.at];
      if (item?.kind !== 'word') break;
      if (of.includes(item.text)) found.push(item.text);
      else this.reportNotAmong(item, of);
      end = item.span.end;
      this.at++;
    }
    this.give(phrase, found, { start: start.start, end });
  }

  /** The SI value of a quantity of one of the dimensions due, or undefined after a report. */
  private measure(item: Quantity, due: readonly Dimension[]): Measure | undefined {
    const next = this.items[this.at];
    const unit =
      next?.kind === 'word' && !this.entry.phrases.some((phrase) => phrase.word === next.text) ? next : undefined;
    const read = measureOf(this.ctx, item, due, unit);
    if (read.tookUnit) this.at++;
    return read.measure;
  }

  private give(phrase: Phrase, value: unknown, span: Span): void {
    if (this.fields[phrase.key] !== undefined) {
      this.ctx.report({
        code: 'said-twice',
        origin: this.origin(span),
        message: `${phrase.word === undefined ? capital(lowerFirst(phrase.help)).replace(/\.$/, '') : `"${phrase.word}"`} is said twice on this line; the first one holds.`,
        related: [{ origin: (this.fields[phrase.key] as AnyGiven).origin, message: 'First said here.' }],
      });
      return;
    }
    this.fields[phrase.key] = new Said(value, this.origin(span));
  }

  private reportNoDay(item: DateItem): void {
    this.ctx.report({
      code: 'impossible-value',
      origin: this.origin(item.span),
      message: `There is no day ${item.value}. A day is written year-month-day: 2026-11-20.`,
    });
  }

  private reportNoValue(phrase: Phrase, lead: Word | undefined): void {
    const word = lead?.text ?? this.entry.word;
    this.ctx.report({
      code: 'missing-phrase',
      origin: lead === undefined ? this.keyword() : this.origin(lead.span),
      message: `Nothing that fits follows "${word}". ${phrase.help}`,
    });
  }

  private reportMissing(): void {
    for (const phrase of this.entry.phrases) {
      if (phrase.required !== true || this.fields[phrase.key] !== undefined || this.said.has(phrase.key)) continue;
      const what =
        phrase.word === undefined
          ? lowerFirst(phrase.help).replace(/\.$/, '')
          : `"${phrase.word} …": ${lowerFirst(phrase.help).replace(/\.$/, '')}`;
      this.ctx.report({
        code: 'missing-phrase',
        origin: this.keyword(),
        message: `This ${this.entry.word} still needs ${what}. For example: ${firstLine(this.entry.example)}`,
      });
    }
  }

  private reportUnexpected(item: Item): void {
    this.at++;
    if (item.kind === 'quantity') {
      const open = this.entry.phrases.filter(
        (phrase) =>
          phrase.word === undefined && phrase.value.type === 'quantity' && this.fields[phrase.key] === undefined,
      );
      const value = open[0]?.value;
      if (open[0] !== undefined && value?.type === 'quantity') {
        this.said.add(open[0].key);
        this.measure(item, value.of);
        return;
      }
    }
    const words = this.entry.phrases.flatMap((phrase) => (phrase.word === undefined ? [] : [phrase.word]));
    const text = item.kind === 'text' ? item.value : this.textOf(item.span);
    const near = item.kind === 'word' ? closest(item.text, words) : undefined;
    const may = words.length === 0 ? '' : ` It may have: ${words.join(', ')}.`;
    this.ctx.report({
      code: 'unexpected-word',
      origin: this.origin(item.span),
      message:
        near === undefined
          ? `"${text}" has no place on ${withArticle(this.entry.word)} line.${may}`
          : `"${text}" has no place on ${withArticle(this.entry.word)} line. Did you mean "${near}"?`,
      fixes: near === undefined ? [] : [this.replacement(item.span, near)],
    });
  }

  private reportNotAmong(item: Word, of: readonly string[]): void {
    const near = closest(item.text, of);
    this.ctx.report({
      code: 'unexpected-word',
      origin: this.origin(item.span),
      message: `"${item.text}" is not one of: ${of.join(', ')}.`,
      fixes: near === undefined ? [] : [this.replacement(item.span, near)],
    });
  }

  private replacement(span: Span, text: string): Fix {
    return { title: `Write ${text}`, edits: [{ origin: this.origin(span), text }], preferred: true };
  }

  private bindBlock(): readonly Bound<Entry>[] {
    const block = this.statement.block;
    const entries = this.entry.block;
    if (block === undefined) {
      this.reportMissingLines(new Set());
      return NO_LINES;
    }
    if (entries === undefined) {
      this.ctx.report({
        code: 'unexpected-word',
        origin: this.origin({ start: block.span.start, end: block.span.start + 1 }),
        message: `${capital(withArticle(this.entry.word))} has no block; everything stands on its line.`,
      });
      return NO_LINES;
    }
    const seen = new Map<string, Origin>();
    const bound: Bound<Entry>[] = [];
    for (const statement of block.statements) {
      const line = bindLine(this.ctx, statement, entries, `${withArticle(this.entry.word)} block`);
      if (line === undefined) continue;
      const before = seen.get(line.word);
      if (before !== undefined && !(this.entry.repeats ?? []).includes(line.word)) {
        this.ctx.report({
          code: 'said-twice',
          origin: line.keyword,
          message: `"${line.word}" stands twice in this block; the first one holds.`,
          related: [{ origin: before, message: 'First said here.' }],
        });
        continue;
      }
      seen.set(line.word, line.keyword);
      bound.push(line as Bound<Entry>);
    }
    this.reportMissingLines(new Set(seen.keys()));
    return bound.slice();
  }

  private reportMissingLines(seen: ReadonlySet<string>): void {
    const missing = (this.entry.needs ?? []).filter((word) => !seen.has(word));
    if (missing.length === 0) return;
    const example = this.entry.block?.find((entry) => entry.word === missing[0])?.example ?? '';
    this.ctx.report({
      code: 'missing-phrase',
      origin: this.name?.origin ?? this.keyword(),
      message: `This ${this.entry.word} still needs in its block: ${missing.join(', ')}. For example: ${example}`,
    });
  }

  private origin(span: Span): Origin {
    return originOf(this.ctx, span);
  }

  private textOf(span: Span): string {
    return this.ctx.declaration.text.slice(span.start, span.end);
  }
}

/** A value that stands in the text, which is cut out when it is asked for: a large plan has tens of thousands of them. */
class Said implements AnyGiven {
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

/** What comes in whole numbers alone; bits may be half a bit for each pixel. */
const COUNTED: ReadonlySet<Dimension> = new Set(['pixels', 'strands', 'rows', 'columns', 'cables']);

const NO_LINES: readonly Bound<Entry>[] = [];

/** Thousands of lines say the same phrases: they share one set. There are as many as ways to write a line. */
function shared(said: ReadonlySet<string>): ReadonlySet<string> {
  const key = [...said].join(' ');
  const before = SAID.get(key);
  if (before === undefined) SAID.set(key, said);
  return before ?? said;
}

const SAID = new Map<string, ReadonlySet<string>>();

/** Binds a line to whichever of the entries its first word names; reports and gives nothing when there is none. */
export function bindLine<E extends Entry>(
  ctx: Binding,
  statement: Statement,
  entries: readonly E[],
  where: string,
): BoundLine<E> | undefined {
  const first = statement.items[0];
  if (first?.kind !== 'word') {
    if (first !== undefined && first.kind !== 'stray') {
      ctx.report({
        code: 'unexpected-word',
        origin: originOf(ctx, first.span),
        message: `A line in ${where} starts with a word: ${words(entries)}.`,
      });
    }
    return undefined;
  }
  const second = statement.items[1];
  const pair = second?.kind === 'word' ? `${first.text} ${second.text}` : first.text;
  const entry = entries.find((candidate) => candidate.word === first.text || candidate.word === pair);
  if (entry !== undefined) return bindStatement(ctx, statement, entry) as BoundLine<E>;
  const near = closest(
    first.text,
    entries.map((candidate) => candidate.word),
  );
  ctx.report({
    code: 'unknown-word',
    origin: originOf(ctx, first.nameSpan),
    message: `"${first.text}" is not a word that starts a line in ${where}. ${near === undefined ? `Such words are: ${words(entries)}.` : `Did you mean "${near}"?`}`,
    fixes:
      near === undefined
        ? []
        : [{ title: `Write ${near}`, edits: [{ origin: originOf(ctx, first.nameSpan), text: near }], preferred: true }],
  });
  return undefined;
}

function words(entries: readonly Entry[]): string {
  return entries.map((candidate) => candidate.word).join(', ');
}

function dimensionOf(item: Quantity): Dimension | undefined {
  return toSi(item.terms)?.dimension;
}

function inUnits(si: number | undefined, dimension: Dimension): string {
  if (si === undefined) return 'any';
  const unit = DIMENSIONS[dimension].unit;
  const factor = UNITS.get(unit)?.factor ?? 1;
  return `${Number((si / factor).toPrecision(6))} ${unit}`;
}

function firstLine(text: string): string {
  return (text.split('\n')[0] ?? '').replace(/\s*\{$/, '');
}

/** What a phrase asks for, as the middle of a sentence: "how many pixels". */
function askedFor(phrase: Phrase): string {
  return lowerFirst(phrase.help.split(/[.:](?:\s|$)/)[0] ?? '');
}

/** Is there such a day? The form, year-month-day, is that of ISO 8601. */
function isDay(text: string): boolean {
  const [year = 0, month = 0, day = 0] = text.split('-').map(Number);
  // A day that the month does not have runs over into the next one.
  const made = new Date(Date.UTC(2000, month - 1, day));
  made.setUTCFullYear(year, month - 1, day);
  return made.getUTCMonth() === month - 1 && made.getUTCDate() === day && year > 0;
}

function lowerFirst(text: string): string {
  return /^[A-Z][a-z ]/.test(text) ? text.charAt(0).toLowerCase() + text.slice(1) : text;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
