import type { DateItem, Item, Quantity, Word } from '#grammar/ast.ts';
import { sure } from '#grammar/sure.ts';
import { DIMENSIONS, type Dimension, UNITS } from '#grammar/units.ts';
import type { Phrase, Value } from '#grammar/words/entry.ts';
import type { Measure, PathValue, Range, Reference } from '../bound.ts';
import { closest } from '../spelling.ts';
import type { LineBinding } from './line.ts';
import { measureOf } from './measure.ts';
import { askedFor, firstLine, lowerFirst } from './wording.ts';

/** Reads the value of a phrase from the items that come next; `lead` is the word that leads it, where there is one. */
export function readValue(line: LineBinding, phrase: Phrase, lead: Word | undefined): void {
  const value = phrase.value;
  line.said.add(phrase.key);
  const start = line.items[line.at];
  if (value.type === 'flag') {
    if (lead !== undefined) line.give(phrase, true, lead.span);
  } else if (start === undefined) {
    if (lead !== undefined) reportNoValue(line, phrase, lead);
  } else {
    readItems(line, phrase, value, start, lead);
  }
}

function readItems(
  line: LineBinding,
  phrase: Phrase,
  value: Exclude<Value, { type: 'flag' }>,
  start: Item,
  lead: Word | undefined,
): void {
  switch (value.type) {
    case 'quantity':
      return readQuantity(line, phrase, value, start, lead);
    case 'whole':
      return readWhole(line, phrase, value, start, lead);
    case 'range':
      return readRange(line, phrase, value, start, lead);
    case 'reference':
      return readReference(line, phrase, start, lead);
    case 'path':
      return readPath(line, phrase, start, lead);
    case 'choice':
      return readChoice(line, phrase, value.of, start, lead);
    case 'choices':
      return readChoices(line, phrase, value.of, start);
    case 'currency':
      if (start.kind === 'word' && /\d/.test(start.text)) return reportNoCurrency(line, start);
      return readPlainWord(line, phrase, start, lead);
    case 'code':
      return readPlainWord(line, phrase, start, lead);
    case 'text':
    case 'date':
      if (start.kind !== value.type) return reportNoValue(line, phrase, lead);
      line.at++;
      if (start.kind === 'date' && !isDay(start.value)) return reportNoDay(line, start);
      return line.give(phrase, start.value, start.span);
  }
}

function readPlainWord(line: LineBinding, phrase: Phrase, item: Item, lead: Word | undefined): void {
  if (item.kind !== 'word') return reportNoValue(line, phrase, lead);
  line.at++;
  line.give(phrase, item.text, item.span);
}

/** "1e12 EUR" is the number 1 and a word. */
function reportNoCurrency(line: LineBinding, item: Word): void {
  line.at = line.items.length;
  line.report(item.span, {
    code: 'unexpected-word',
    message: `"${item.text}" is no currency. Write the amount in digits and the currency after it: ${firstLine(line.entry.example)}`,
  });
}

function readQuantity(
  line: LineBinding,
  phrase: Phrase,
  value: Value & { type: 'quantity' },
  item: Item,
  lead: Word | undefined,
): void {
  if (item.kind !== 'quantity') return reportNoValue(line, phrase, lead);
  line.at++;
  const si = measure(line, item, value.of);
  if (si !== undefined && isPossible(line, phrase, value, si, item)) line.give(phrase, si satisfies Measure, item.span);
}

/** Is the value within what can be real? Reports when it is not. */
function isPossible(
  line: LineBinding,
  phrase: Phrase,
  { least, most }: { readonly least?: number; readonly most?: number },
  { si, dimension }: Measure,
  item: Quantity,
): boolean {
  const isWithin = (least === undefined || si >= least) && (most === undefined || si <= most);
  const isPart = COUNTED.has(dimension) && !Number.isInteger(si);
  if (isWithin && !isPart) return true;
  line.report(item.span, {
    code: 'impossible-value',
    message: isWithin
      ? `${line.textOf(item.span)} cannot be real: ${dimension} are counted in whole numbers.`
      : `${line.textOf(item.span)} cannot be real here: ${askedFor(phrase)}, from ${inUnits(least, dimension)} to ${inUnits(most, dimension)}.`,
  });
  return false;
}

function readWhole(
  line: LineBinding,
  phrase: Phrase,
  value: Value & { type: 'whole' },
  item: Item,
  lead: Word | undefined,
): void {
  if (item.kind !== 'quantity') return reportNoValue(line, phrase, lead);
  line.at++;
  const term = item.terms[0];
  if (term === undefined || term.unit !== undefined || item.terms.length > 1) {
    line.report(item.span, {
      code: 'wrong-dimension',
      message: `A plain number without a unit is due here: ${lowerFirst(phrase.help)}`,
    });
    return;
  }
  if (!(value.fractions || Number.isInteger(term.value)) || term.value < value.least || term.value > value.most) {
    line.report(item.span, {
      code: 'impossible-value',
      message: `${line.textOf(item.span)} cannot be real here: ${askedFor(phrase)}, a ${value.fractions ? '' : 'whole '}number from ${value.least} to ${value.most}.`,
    });
    return;
  }
  line.give(phrase, term.value, item.span);
}

function readRange(
  line: LineBinding,
  phrase: Phrase,
  value: Value & { type: 'range' },
  item: Item,
  lead: Word | undefined,
): void {
  if (item.kind !== 'quantity') return reportNoValue(line, phrase, lead);
  line.at++;
  const from = measure(line, item, [value.of]);
  const word = line.items[line.at];
  const second = line.items[line.at + 1];
  if (word?.kind !== 'word' || word.text !== 'to' || second?.kind !== 'quantity') {
    line.report(item.span, {
      code: 'missing-phrase',
      message: `A range is due here: "… to …". ${phrase.help}`,
    });
    return;
  }
  line.at += 2;
  const to = measure(line, second, [value.of]);
  if (from === undefined || to === undefined) return;
  if (!isPossible(line, phrase, value, from, item) || !isPossible(line, phrase, value, to, second)) return;
  if (from.si > to.si) {
    line.report(
      { start: item.span.start, end: second.span.end },
      {
        code: 'impossible-value',
        message: 'The smaller value of a range comes first.',
      },
    );
    return;
  }
  line.give(phrase, { from: from.si, to: to.si } satisfies Range, { start: item.span.start, end: second.span.end });
}

function readReference(line: LineBinding, phrase: Phrase, item: Item, lead: Word | undefined): void {
  if (item.kind !== 'word') return reportNoValue(line, phrase, lead);
  line.at++;
  const { text: name, steps, nameSpan } = item;
  line.give(phrase, { name, steps, nameEnd: nameSpan.end } satisfies Reference, item.span);
}

function readPath(line: LineBinding, phrase: Phrase, item: Item, lead: Word | undefined): void {
  const places: PathValue['places'][number][] = [];
  let end = item.span.end;
  for (let expectPlace = true; ; expectPlace = !expectPlace) {
    const word = line.items[line.at];
    if (word?.kind !== 'word' || (!expectPlace && word.text !== 'to')) break;
    // "along shed to roof  to eaves.end": a place has no dots or brackets, so here the next phrase has begun.
    if (!expectPlace && (line.items[line.at + 1] as { steps?: readonly unknown[] } | undefined)?.steps?.length !== 0)
      break;
    if (expectPlace) places.push({ name: word.text, origin: line.origin(word.nameSpan) });
    end = word.span.end;
    line.at++;
  }
  if (places.length === 0) return reportNoValue(line, phrase, lead);
  if (places.length === 1) {
    line.report(sure(places[0]).origin, {
      code: 'missing-phrase',
      message: 'A way goes from one place to another: "shed to roof".',
    });
    return;
  }
  line.give(phrase, { places } satisfies PathValue, { start: item.span.start, end });
}

function readChoice(
  line: LineBinding,
  phrase: Phrase,
  of: readonly string[],
  item: Item,
  lead: Word | undefined,
): void {
  if (item.kind !== 'word') return reportNoValue(line, phrase, lead);
  line.at++;
  if (of.includes(item.text)) return line.give(phrase, item.text, item.span);
  reportNotAmong(line, item, of);
}

function readChoices(line: LineBinding, phrase: Phrase, of: readonly string[], { span: start }: Item): void {
  const found: string[] = [];
  let end = start.end;
  for (;;) {
    const item = line.items[line.at];
    if (item?.kind !== 'word') break;
    if (of.includes(item.text)) found.push(item.text);
    else reportNotAmong(line, item, of);
    end = item.span.end;
    line.at++;
  }
  line.give(phrase, found, { start: start.start, end });
}

/** The SI value of a quantity of one of the dimensions due, or undefined after a report. */
export function measure(line: LineBinding, item: Quantity, due: readonly Dimension[]): Measure | undefined {
  const next = line.items[line.at];
  const unit =
    next?.kind === 'word' && !line.entry.phrases.some((phrase) => phrase.word === next.text) ? next : undefined;
  const read = measureOf(line.ctx, item, due, unit);
  if (read.tookUnit) line.at++;
  return read.measure;
}

function reportNoValue(line: LineBinding, phrase: Phrase, lead: Word | undefined): void {
  const word = lead?.text ?? line.entry.word;
  line.report(lead === undefined ? line.keyword : lead.span, {
    code: 'missing-phrase',
    message: `Nothing that fits follows "${word}". ${phrase.help}`,
  });
}

function reportNoDay(line: LineBinding, item: DateItem): void {
  line.report(item.span, {
    code: 'impossible-value',
    message: `There is no day ${item.value}. A day is written year-month-day: 2026-11-20.`,
  });
}

function reportNotAmong(line: LineBinding, item: Word, of: readonly string[]): void {
  const near = closest(item.text, of);
  line.report(item.span, {
    code: 'unexpected-word',
    message: `"${item.text}" is not one of: ${of.join(', ')}.`,
    fixes: near === undefined ? [] : [line.replacement(item.span, near)],
  });
}

/** What comes in whole numbers alone; bits may be half a bit for each pixel. */
const COUNTED: ReadonlySet<Dimension> = new Set(['pixels', 'strands', 'rows', 'columns', 'cables']);

function inUnits(si: number | undefined, dimension: Dimension): string {
  if (si === undefined) return 'any';
  const unit = DIMENSIONS[dimension].unit;
  const { factor } = sure(UNITS.get(unit));
  return `${Number((si / factor).toPrecision(6))} ${unit}`;
}

/** Is there such a day? The form, year-month-day, is that of ISO 8601. */
function isDay(text: string): boolean {
  const [year = 0, month = 0, day = 0] = text.split('-').map(Number);
  // A day that the month does not have runs over into the next one.
  const made = new Date(Date.UTC(2000, month - 1, day));
  made.setUTCFullYear(year, month - 1, day);
  return made.getUTCMonth() === month - 1 && made.getUTCDate() === day && year > 0;
}
