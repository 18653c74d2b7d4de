import { codeBlock, codeSpan, escapeMarkdown } from './markdown.ts';

/** What there is to say about something: shown on hover and beside completions. All texts are plain; rendering escapes. */
export interface Card {
  /** What kind of thing it is: "run", "pixel part". */
  readonly kind: string;
  /** As the plan names it. */
  readonly name?: string | undefined;
  readonly label?: string | undefined;
  /** The `##` lines above it, or help from the vocabulary. */
  readonly description?: string | undefined;
  /** The one thing to know, seen without scrolling. */
  readonly summary?: string | undefined;
  readonly facts: readonly Fact[];
  readonly picture?: Picture | undefined;
  /** Sentences below: under which conditions the figures hold, or why there are none. */
  readonly notes?: readonly string[];
  /** An example as it would be written. */
  readonly example?: string | undefined;
}

export interface Fact {
  readonly label: string;
  readonly value: string;
  /** Where the value comes from or what it is compared with. */
  readonly note?: string | undefined;
}

export interface Picture {
  readonly svg: string;
  readonly alt: string;
  readonly width: number;
  readonly height: number;
}

export function fact(label: string, value: string | undefined, note?: string): Fact[] {
  return value === undefined ? [] : [{ label, value, note }];
}

/**
 * A picture and bullets; nothing in it is trusted, nothing is fetched. Kept with the card, which is asked for again and
 * again while a person points at one thing and types elsewhere.
 */
export function cardMarkdown(card: Card): string {
  let text = TEXTS.get(card);
  if (text === undefined) {
    text = markdownOf(card);
    TEXTS.set(card, text);
  }
  return text;
}

const TEXTS = new WeakMap<Card, string>();

function markdownOf(card: Card): string {
  const head = [escapeMarkdown(card.kind), card.name === undefined ? '' : `**${codeSpan(card.name)}**`]
    .filter(Boolean)
    .join(' ');
  const label = card.label === undefined || card.label === '' ? '' : ` — ${escapeMarkdown(card.label)}`;
  const facts = card.facts.map(({ label: what, value, note }) => {
    const behind = note === undefined || note === '' ? '' : ` — ${escapeMarkdown(note)}`;
    return `- ${escapeMarkdown(what)}: **${escapeMarkdown(value)}**${behind}`;
  });
  return [
    head + label,
    card.description === undefined ? '' : escapeMarkdown(card.description),
    card.summary === undefined ? '' : `**${escapeMarkdown(card.summary)}**`,
    // The picture comes before the other figures: an editor cuts a tall hover off at its end.
    card.picture === undefined ? '' : pictureMarkdown(card.picture),
    facts.join('\n'),
    (card.notes ?? []).map(escapeMarkdown).join('  \n'),
    card.example === undefined ? '' : codeBlock(card.example),
  ]
    .filter((part) => part !== '')
    .join('\n\n');
}

function pictureMarkdown({ svg, alt, width, height }: Picture): string {
  return `![${escapeMarkdown(alt)}](data:image/svg+xml;base64,${base64(svg)}|width=${width},height=${height})`;
}

/** For clients that show plain text only. */
export function cardText(card: Card): string {
  const head = [card.kind, card.name, card.label === undefined ? undefined : `"${card.label}"`].filter(
    (part) => part !== undefined,
  );
  const facts = card.facts.map(
    ({ label, value, note }) => `${label}: ${value}${note === undefined || note === '' ? '' : ` (${note})`}`,
  );
  return [
    head.join(' '),
    card.description,
    card.summary,
    facts.join('\n'),
    card.picture?.alt,
    (card.notes ?? []).join('\n'),
    card.example,
  ]
    .filter((part) => part !== undefined && part !== '')
    .join('\n\n');
}

function base64(text: string): string {
  // Plain characters are bytes already.
  if (/^[\0-\x7f]*$/.test(text)) return btoa(text);
  let bytes = '';
  for (const byte of new TextEncoder().encode(text)) bytes += String.fromCharCode(byte);
  return btoa(bytes);
}
