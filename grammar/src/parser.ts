import { EmbeddedActionsParser, EOF, type IToken } from 'chevrotain';
import type { Block, Item, Quantity, Span, Statement, Step, SyntaxProblem, Term, Word as WordNode } from './ast.ts';
import { exact } from './exact.ts';
import { lineStart } from './line-start.ts';
import { sure } from './sure.ts';
import * as token from './tokens.ts';
import { UNITS } from './units.ts';
import { TOP_KEYWORDS } from './vocabulary.ts';

/**
 * The grammar. It has no words of its own: a statement is a row of items, ended by the line, and perhaps a block.
 * Every sequence of tokens fits it; what is amiss is reported on the spot and the next line starts afresh. So no
 * recovery by guessing is needed, and a broken line hurts only itself. A keyword that opens a declaration, at the
 * start of a line, closes the block that is still open.
 */
export class PlanParser extends EmbeddedActionsParser {
  private problems: SyntaxProblem[] = [];
  private comments: readonly IToken[] = [];
  private text = '';
  private depth = 0;

  /** The grammar is sound: a test makes a parser with all validations, which would only slow the start. */
  constructor(skipValidations = true) {
    super([...token.TOKEN_TYPES], { recoveryEnabled: false, maxLookahead: 2, skipValidations });
    this.performSelfAnalysis();
  }

  parse(text: string, tokens: IToken[], comments: readonly IToken[]): Parsed {
    this.input = tokens;
    this.problems = [];
    this.comments = comments;
    this.text = text;
    this.depth = 0;
    const statements = this.document();
    // Every token sequence fits the grammar; an error here is a fault of ours, and must not pass in silence.
    if (this.errors.length > 0) throw new Error(`parser: ${this.errors[0]?.message ?? ''}`);
    return { statements, problems: this.problems };
  }

  private readonly document = this.RULE('document', (): readonly Statement[] => {
    const statements: Statement[] = [];
    this.MANY(() => {
      this.OR([
        { ALT: () => this.CONSUME(token.Newline) },
        {
          ALT: () => {
            const brace = this.CONSUME(token.RightBrace);
            this.ACTION(() => this.report('stray-brace', spanOf(brace), '}'));
          },
        },
        {
          ALT: () => {
            const statement = this.SUBRULE(this.statement);
            this.ACTION(() => statements.push(statement));
          },
        },
      ]);
    });
    return exact(statements);
  });

  private readonly statement = this.RULE('statement', (): Statement => {
    const items: Item[] = [];
    let block: Block | undefined;
    this.AT_LEAST_ONE({
      GATE: () => items.length === 0 || this.depth >= MOST_NESTED || this.LA(1).tokenType !== token.LeftBrace,
      DEF: () => {
        const item = this.SUBRULE(this.item);
        this.ACTION(() => items.push(item));
      },
    });
    this.OPTION(() => {
      block = this.SUBRULE(this.block);
    });
    return this.ACTION(() => {
      const last = sure(items.at(-1)).span.end;
      const start = sure(items[0]).span.start;
      const next = this.LA(1).tokenType;
      if (next !== token.Newline && next !== EOF && next !== token.RightBrace) {
        this.report('line-not-ended', spanOf(this.LA(1)), this.LA(1).image);
      }
      return {
        items: exact(items),
        block,
        description: this.descriptionBefore(start),
        span: spanFrom(start, block?.span.end ?? last),
      };
    });
  });

  private readonly block = this.RULE('block', (): Block => {
    const statements: Statement[] = [];
    const open = this.CONSUME(token.LeftBrace);
    this.ACTION(() => this.depth++);
    let end = open.startOffset + 1;
    let closed = false;
    this.MANY({
      GATE: () => !this.atDeclaration(),
      DEF: () =>
        this.OR([
          { ALT: () => this.CONSUME(token.Newline) },
          {
            ALT: () => {
              const statement = this.SUBRULE(this.statement);
              this.ACTION(() => {
                statements.push(statement);
                end = statement.span.end;
              });
            },
          },
        ]),
    });
    this.OPTION(() => {
      const close = this.CONSUME(token.RightBrace);
      end = close.startOffset + 1;
      closed = true;
    });
    return this.ACTION(() => {
      this.depth--;
      if (!closed) this.report('unclosed-block', spanOf(open), '{');
      return { statements: exact(statements), span: spanFrom(open.startOffset, end), closed };
    });
  });

  private readonly item = this.RULE(
    'item',
    (): Item =>
      this.OR<Item>([
        { ALT: () => this.SUBRULE(this.word) },
        { ALT: () => this.SUBRULE(this.quantity) },
        {
          ALT: () => {
            const quoted = this.CONSUME(token.Quoted);
            return { kind: 'text', value: quoted.image.slice(1, -1), span: spanOf(quoted) };
          },
        },
        {
          ALT: () => {
            const quoted = this.CONSUME(token.OpenQuoted);
            this.ACTION(() => this.report('unclosed-text', spanOf(quoted), quoted.image));
            return { kind: 'text', value: quoted.image.slice(1), span: spanOf(quoted) };
          },
        },
        {
          ALT: () => {
            const date = this.CONSUME(token.DateToken);
            return { kind: 'date', value: date.image, span: spanOf(date) };
          },
        },
        { ALT: () => this.SUBRULE(this.stray) },
      ]),
  );

  private readonly stray = this.RULE('stray', (): Item => {
    const found = this.OR([
      { ALT: () => this.CONSUME(token.Percent) },
      { ALT: () => this.CONSUME(token.LeftBracket) },
      { ALT: () => this.CONSUME(token.RightBracket) },
      { ALT: () => this.CONSUME(token.LeftParenthesis) },
      { ALT: () => this.CONSUME(token.RightParenthesis) },
      { ALT: () => this.CONSUME(token.Dot) },
      { ALT: () => this.CONSUME(token.Other) },
      { ALT: () => this.CONSUME(token.LeftBrace) },
    ]);
    return this.ACTION((): Item => {
      this.reportStray(found);
      return { kind: 'stray', text: found.image, span: spanOf(found) };
    });
  });

  private readonly word = this.RULE('word', (): WordNode => {
    const first = this.CONSUME(token.Word);
    const steps: Step[] = [];
    let end = endOf(first);
    this.MANY({
      GATE: () => this.LA(1).startOffset === end,
      DEF: () => {
        const step = this.OR([
          { ALT: () => this.SUBRULE(this.memberStep) },
          { ALT: () => this.SUBRULE(this.pixelStep) },
          { ALT: () => this.SUBRULE(this.copyStep) },
        ]);
        this.ACTION(() => {
          steps.push(step);
          end = step.span.end;
        });
      },
    });
    const nameSpan = spanOf(first);
    const span = steps.length === 0 ? nameSpan : spanFrom(first.startOffset, end);
    return { kind: 'word', text: first.image, nameSpan, steps: exact(steps), span };
  });

  private readonly memberStep = this.RULE('memberStep', (): Step => {
    const dot = this.CONSUME(token.Dot);
    let name: IToken | undefined;
    this.OPTION({
      GATE: () => this.LA(1).startOffset === endOf(dot),
      DEF: () => {
        name = this.OR([{ ALT: () => this.CONSUME(token.Word) }, { ALT: () => this.CONSUME(token.NumberToken) }]);
      },
    });
    return this.ACTION(() => {
      if (name === undefined) this.report('stray-text', spanOf(dot), '.');
      return { kind: 'member', name: name?.image ?? '', span: spanFrom(dot.startOffset, endOf(name ?? dot)) };
    });
  });

  private readonly pixelStep = this.RULE('pixelStep', (): Step => {
    const open = this.CONSUME(token.LeftBracket);
    const number = this.OPTION(() => this.CONSUME(token.NumberToken));
    const close = this.OPTION1(() => this.CONSUME(token.RightBracket));
    return this.ACTION(() => this.numberedStep('pixel', open, number, close));
  });

  private readonly copyStep = this.RULE('copyStep', (): Step => {
    const open = this.CONSUME(token.LeftParenthesis);
    const number = this.OPTION(() => this.CONSUME(token.NumberToken));
    const close = this.OPTION1(() => this.CONSUME(token.RightParenthesis));
    return this.ACTION(() => this.numberedStep('copy', open, number, close));
  });

  private readonly quantity = this.RULE('quantity', (): Quantity => {
    const terms: Term[] = [];
    this.AT_LEAST_ONE({
      GATE: () => terms.length === 0 || this.continuesQuantity(terms),
      DEF: () => {
        const term = this.SUBRULE(this.term);
        this.ACTION(() => terms.push(term));
      },
    });
    return this.ACTION(() => {
      const [first, last] = [sure(terms[0]), sure(terms.at(-1))];
      const span = first === last ? first.span : spanFrom(first.span.start, last.span.end);
      return { kind: 'quantity', terms: exact(terms), span };
    });
  });

  private readonly term = this.RULE('term', (): Term => {
    const number = this.OR([
      { ALT: () => this.CONSUME(token.NumberToken) },
      { ALT: () => this.CONSUME(token.DecimalComma) },
    ]);
    let unit: IToken | undefined;
    this.OPTION({
      GATE: () => this.LA(1).tokenType === token.Percent || UNITS.has(this.LA(1).image),
      DEF: () => {
        unit = this.OR1([{ ALT: () => this.CONSUME(token.Percent) }, { ALT: () => this.CONSUME(token.Word) }]);
      },
    });
    return this.ACTION(() => {
      if (number.tokenType === token.DecimalComma) this.report('decimal-comma', spanOf(number), number.image);
      return {
        value: Number(number.image.replace(',', '.')),
        unit: unit?.image,
        span: spanFrom(number.startOffset, endOf(unit ?? number)),
      };
    });
  });

  /** Feet and inches are one length: `8 ft 4 in`. */
  private continuesQuantity(terms: readonly Term[]): boolean {
    return (
      terms.length === 1 &&
      terms[0]?.unit === 'ft' &&
      this.LA(1).tokenType === token.NumberToken &&
      this.LA(2).image === 'in'
    );
  }

  private atDeclaration(): boolean {
    return this.LA(1).tokenType === token.Word && TOP_KEYWORDS.has(this.LA(1).image);
  }

  private numberedStep(
    kind: 'pixel' | 'copy',
    open: IToken,
    number: IToken | undefined,
    close: IToken | undefined,
  ): Step {
    const span = spanFrom(open.startOffset, endOf(close ?? number ?? open));
    if (number === undefined || close === undefined) this.report('unclosed-bracket', span, open.image);
    return { kind, number: number === undefined ? Number.NaN : Number(number.image), span };
  }

  private reportStray(found: IToken): void {
    const code = this.codeOfStray(found);
    const previous = this.problems.at(-1);
    // A run of strange characters is one problem, not hundreds.
    if (previous?.code === code && previous.span.end === found.startOffset && code !== 'too-deep') {
      this.problems[this.problems.length - 1] = {
        code,
        span: spanFrom(previous.span.start, endOf(found)),
        text: previous.text.length < 40 ? previous.text + found.image : previous.text,
      };
    } else {
      this.report(code, spanOf(found), found.image);
    }
  }

  private codeOfStray(found: IToken): SyntaxProblem['code'] {
    if (found.image === '{') return this.depth >= MOST_NESTED ? 'too-deep' : 'stray-brace';
    return HIDDEN.test(found.image) ? 'hidden-character' : 'stray-text';
  }

  private report(code: SyntaxProblem['code'], span: Span, text: string): void {
    this.problems.push({ code, span, text });
  }

  /** The `##` lines that end directly above the line of an offset. */
  private descriptionBefore(offset: number): string | undefined {
    const lines: string[] = [];
    let at = lineStart(this.text, offset);
    for (let index = firstAfter(this.comments, at) - 1; index >= 0; index--) {
      const comment = this.comments[index];
      if (comment === undefined || !comment.image.startsWith('##')) break;
      if (this.text.slice(endOf(comment), at).trim() !== '' || lineBreaks(this.text, endOf(comment), at) !== 1) break;
      lines.push(comment.image.replace(/^#+\s?/, '').trimEnd());
      at = comment.startOffset;
    }
    return lines.length === 0 ? undefined : lines.reverse().join('\n');
  }
}

/** Blocks deeper than this are not opened: no plan needs them, and a parser must not run out of stack. */
const MOST_NESTED = 4;

/** Characters that change how a line reads without being seen: bidirectional controls, zero width, control codes. */
const HIDDEN = /[\u0000-\u0008\u000e-\u001f\u007f-\u009f\u200b-\u200f\u2028-\u202e\u2060-\u2069]/;

const PARSER = new PlanParser();

export interface Parsed {
  readonly statements: readonly Statement[];
  readonly problems: readonly SyntaxProblem[];
}

/** Parses a text. Never throws; whatever is amiss is among the problems, with spans in UTF-16 code units. */
export function parse(text: string): Parsed {
  const lexed = token.LEXER.tokenize(text);
  return PARSER.parse(text, lexed.tokens, sure(lexed.groups['comments']));
}

function endOf(found: IToken): number {
  return found.startOffset + found.image.length;
}

function spanOf(found: IToken): Span {
  return spanFrom(found.startOffset, endOf(found));
}

/** Made in one place, so that both numbers are kept as small integers: there are hundreds of thousands of spans. */
function spanFrom(start: number, end: number): Span {
  return { start, end };
}

function lineBreaks(text: string, start: number, end: number): number {
  return text.slice(start, end).split(/\r\n|\n|\r/).length - 1;
}

/** Index of the first comment that starts at or after an offset. */
function firstAfter(comments: readonly IToken[], offset: number): number {
  let low = 0;
  let high = comments.length;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sure(comments[middle]).startOffset < offset) low = middle + 1;
    else high = middle;
  }
  return low;
}
