import type { Declaration } from '#grammar/source.ts';

/** A place in a plan's text: a span inside a declaration, so that it outlives edits elsewhere in the file. */
export interface Origin {
  readonly uri: string;
  readonly declaration: Declaration;
  readonly start: number;
  readonly end: number;
}

export type Level = 'error' | 'warning' | 'information';

/** Something to say about a plan, as data. Level, title and explanation of its code stand in the registry of checks. */
export interface Finding {
  readonly code: string;
  /** Where it differs from the usual level of the code. */
  readonly level?: Level;
  /** How far beyond the limit, as a share of it, or in its own unit (V, cables) where it may be 0: ranks the same finding. */
  readonly excess?: number;
  /** The smallest piece of text that a person would change. */
  readonly origin: Origin;
  /** Plain text: what, the computed value, the limit, and what to do. */
  readonly message: string;
  /** Other places that take part, at most eight. */
  readonly related: readonly Related[];
  /** Edits that are known without computing anything; others are asked of the check. */
  readonly fixes: readonly Fix[];
  /** What the finding is about, for checks that suggest fixes later. */
  readonly subject?: string;
  /** Where it could be said otherwise: it is not said while something on those lines cannot be read. */
  readonly restsOn?: readonly Origin[];
  /** A name that may stand in a file that could not be read; it is not said while there is one. */
  readonly mayBeElsewhere?: true;
  /** Names of things whose volts and amps mean nothing while this holds. */
  readonly spoils?: readonly string[];
}

export interface Related {
  readonly origin: Origin;
  readonly message: string;
}

export interface Fix {
  /** Verb, object and effect: "Write 14 m". */
  readonly title: string;
  readonly edits: readonly Edit[];
  readonly preferred: boolean;
  /** Has to be asked before the edits are made: whether they leave the plan as a whole no worse. Absent where that is known. */
  readonly holds?: () => boolean;
}

export interface Edit {
  readonly origin: Origin;
  readonly text: string;
}

export type Report = (
  finding: Omit<Finding, 'related' | 'fixes'> & Partial<Pick<Finding, 'related' | 'fixes'>>,
) => void;

/** Collects findings in the order in which they are made. */
export function collector(): { findings: Finding[]; report: Report } {
  const findings: Finding[] = [];
  const report: Report = ({ related = [], fixes = [], ...finding }) =>
    findings.push({
      ...finding,
      fixes: fixes.map((fix) => ({ ...fix, edits: fix.edits.map(apart) })),
      related: related.slice(0, MOST_RELATED),
      message: shortened(finding.message),
    });
  return { findings, report };
}

/**
 * What is written stays apart from the words on both sides of it: a sign that stands between two words without a blank
 * (`of$b`, `3 m+limit`) may be what it replaces. What is taken out leaves nothing to keep apart.
 */
function apart({ origin, text }: Edit): Edit {
  const { declaration, start, end } = origin;
  // Two units: a letter may take that many.
  const [before, behind] = [
    declaration.text.slice(Math.max(0, start - 2), start),
    declaration.text.slice(end, end + 2),
  ];
  if (text === '') return { origin, text };
  return { origin, text: `${joins(before, text) ? ' ' : ''}${text}${joins(text, behind) ? ' ' : ''}` };
}

/** Would the end of one text and the start of the other be one word? As tokens are. */
function joins(one: string, other: string): boolean {
  return /[\p{L}\p{M}\p{N}_²-]$/u.test(one) && /^[\p{L}\p{M}\p{N}_²+-]/u.test(other);
}

/** Nobody follows more. */
const MOST_RELATED = 8;

/** A word of a message is a name or a number from the plan; one without an end must not bury what is said of it. */
const LONGEST_WORD = 60;

function shortened(message: string): string {
  if (!hasLongWord(message)) return message;
  // A cut may leave half a character behind.
  return message.replace(TOO_LONG, (word) => `${word.slice(0, LONGEST_WORD).replace(/\p{Cs}$/u, '')}…`);
}

/** By blanks alone, which is quick: thousands of messages are made while feeds are tried. */
function hasLongWord(message: string): boolean {
  for (let start = 0; message.length - start > LONGEST_WORD; ) {
    const end = message.indexOf(' ', start);
    if (end < 0 || end - start > LONGEST_WORD) return true;
    start = end + 1;
  }
  return false;
}

const TOO_LONG = new RegExp(`\\S{${LONGEST_WORD + 1},}`, 'gu');
