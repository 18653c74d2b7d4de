import type { Item, Quantity, Statement } from '#grammar/ast.ts';
import { sure } from '#grammar/sure.ts';
import { toSi } from '#grammar/units.ts';
import { STATEMENTS } from '#grammar/vocabulary.ts';
import type { Entry, Phrase, Value } from '#grammar/words/entry.ts';

/**
 * What each item of a line is for: keyword, name, the word that leads a phrase, or a value of a phrase. It follows the
 * order in which statements are bound, but without reporting, and says what may come next.
 */
export interface LineReading {
  readonly entry: Entry;
  /** One for each item of the line. */
  readonly parts: readonly LinePart[];
  /** Keys of the phrases that are there. */
  readonly given: ReadonlySet<string>;
  readonly hasName: boolean;
  /** The phrase that is not finished where the items end, and what it waits for. */
  readonly open: OpenPhrase | undefined;
}

export interface LinePart {
  readonly item: Item;
  readonly role: 'keyword' | 'name' | 'lead' | 'value' | 'joiner' | 'unknown';
  readonly phrase: Phrase | undefined;
}

export interface OpenPhrase {
  readonly phrase: Phrase;
  /** `value`: its value, or the next one; `unit`: a unit behind a bare number; `to`: the word between two values. */
  readonly waits: 'value' | 'unit' | 'to' | 'more';
}

/** The entry that a statement's first words name among some entries. */
export function entryOf(statement: Pick<Statement, 'items'>, entries: readonly Entry[]): Entry | undefined {
  const [first, second] = statement.items;
  if (first?.kind !== 'word') return undefined;
  const pair = second?.kind === 'word' ? `${first.text} ${second.text}` : first.text;
  return entries.find((entry) => entry.word === first.text || entry.word === pair);
}

/** The entry of the innermost of some nested statements, outermost first; undefined where one has no entry. */
export function entryOfPath(path: readonly Pick<Statement, 'items'>[]): Entry | undefined {
  let entries: readonly Entry[] = STATEMENTS;
  let entry: Entry | undefined;
  for (const statement of path) {
    entry = entryOf(statement, entries);
    if (entry === undefined) return undefined;
    entries = entry.block ?? [];
  }
  return entry;
}

export function readLine(items: readonly Item[], entry: Entry): LineReading {
  return new LineReader(items, entry).read();
}

class LineReader {
  private readonly items: readonly Item[];
  private readonly entry: Entry;
  private readonly parts: LinePart[] = [];
  private readonly given = new Set<string>();
  private hasName = false;
  private open: OpenPhrase | undefined;

  constructor(items: readonly Item[], entry: Entry) {
    this.items = items;
    this.entry = entry;
  }

  read(): LineReading {
    for (let count = this.entry.word.split(' ').length; count > 0; count--) this.take('keyword', undefined);
    this.readName();
    while (this.parts.length < this.items.length) this.readPhrase();
    return { entry: this.entry, parts: this.parts, given: this.given, hasName: this.hasName, open: this.open };
  }

  private get next(): Item | undefined {
    return this.items[this.parts.length];
  }

  private take(role: LinePart['role'], phrase: Phrase | undefined): void {
    const item = this.next;
    if (item !== undefined) this.parts.push({ item, role, phrase });
  }

  private readName(): void {
    const item = this.next;
    if (this.entry.name === 'none' || item?.kind !== 'word') return;
    if (this.entry.phrases.some((phrase) => phrase.word === item.text)) return;
    this.hasName = true;
    this.take('name', undefined);
  }

  private readPhrase(): void {
    const item = sure(this.next);
    this.open = undefined;
    const led = item.kind === 'word' && item.steps.length === 0 ? this.ledBy(item.text) : undefined;
    if (led !== undefined) {
      this.take('lead', led);
      if (led.value.type === 'flag') this.given.add(led.key);
      else this.readValue(led, led.value);
      return;
    }
    const phrase = this.positional(item);
    if (phrase === undefined || phrase.value.type === 'flag') this.take('unknown', undefined);
    else this.readValue(phrase, phrase.value);
  }

  private ledBy(word: string): Phrase | undefined {
    const led = this.entry.phrases.filter((phrase) => phrase.word === word);
    const behind = this.items[this.parts.length + 1];
    return led.find((phrase) => behind !== undefined && fits(phrase.value, behind)) ?? led[0];
  }

  private positional(item: Item): Phrase | undefined {
    const free = this.entry.phrases.filter((phrase) => phrase.word === undefined && !this.given.has(phrase.key));
    const fitting = free.find((phrase) => fits(phrase.value, item));
    if (fitting !== undefined || item.kind !== 'quantity') return fitting;
    return free.find((phrase) => phrase.value.type === 'quantity');
  }

  private readValue(phrase: Phrase, value: ValueOf): void {
    const item = this.next;
    if (item === undefined || !mayStart(value, item)) {
      this.open = { phrase, waits: 'value' };
      return;
    }
    this.given.add(phrase.key);
    if (value.type === 'range') this.readJoined(phrase, 'quantity');
    else if (value.type === 'path') this.readJoined(phrase, 'word');
    else if (value.type === 'choices') this.readChoices(phrase);
    else {
      this.take('value', phrase);
      if (value.type === 'quantity' && isBare(item)) this.open = { phrase, waits: 'unit' };
    }
  }

  /** Values with `to` between them. */
  private readJoined(phrase: Phrase, kind: 'quantity' | 'word'): void {
    const many = kind === 'word';
    for (let count = 1; ; count++) {
      const item = this.next;
      this.take('value', phrase);
      if (item !== undefined && kind === 'quantity' && isBare(item)) this.open = { phrase, waits: 'unit' };
      if (!many && count === 2) return;
      const joiner = this.next;
      if (joiner?.kind !== 'word' || joiner.text !== 'to' || joiner.steps.length > 0) {
        if (this.open === undefined || joiner !== undefined) this.open = { phrase, waits: count === 1 ? 'to' : 'more' };
        return;
      }
      this.open = undefined;
      this.take('joiner', phrase);
      if (this.next?.kind !== kind) {
        this.open = { phrase, waits: 'value' };
        return;
      }
    }
  }

  private readChoices(phrase: Phrase): void {
    while (this.next?.kind === 'word') this.take('value', phrase);
    this.open = { phrase, waits: 'more' };
  }
}

/** What follows its word; a flag is its word alone. */
type ValueOf = Exclude<Value, { readonly type: 'flag' }>;

/** Could this item be a value of that kind, if no word leads it? The same question as when a statement is bound. */
function fits(value: Value, item: Item): boolean {
  if (value.type === 'quantity') return item.kind === 'quantity' && isOf(item, value.of);
  if (value.type === 'whole') return item.kind === 'quantity' && item.terms.length === 1 && isBare(item);
  return value.type !== 'flag' && mayStart(value, item);
}

function mayStart(value: ValueOf, item: Item): boolean {
  switch (value.type) {
    case 'quantity':
    case 'whole':
    case 'range':
      return item.kind === 'quantity';
    case 'text':
      return item.kind === 'text';
    case 'date':
      return item.kind === 'date';
    default:
      return item.kind === 'word';
  }
}

function isOf(item: Quantity, of: readonly string[]): boolean {
  const dimension = toSi(item.terms)?.dimension;
  return dimension !== undefined && of.includes(dimension);
}

/** A number without its unit. */
export function isBare(item: Item): boolean {
  return item.kind === 'quantity' && item.terms.at(-1)?.unit === undefined;
}
