import type { SyntaxCode, SyntaxProblem } from '#grammar/ast.ts';
import type { Declaration } from '#grammar/source.ts';
import type { Finding, Fix, Origin } from './finding.ts';

/** What the parser could not make sense of, in words. */
export function syntaxFindings(uri: string, declaration: Declaration): Finding[] {
  return declaration.problems.map((problem) => {
    const origin: Origin = { uri, declaration, start: problem.span.start, end: problem.span.end };
    return {
      code: problem.code,
      origin,
      message: TEXTS[problem.code](problem),
      related: [],
      fixes: fixes(problem, origin),
    };
  });
}

const TEXTS: Readonly<Record<SyntaxCode, (problem: SyntaxProblem) => string>> = {
  'stray-text': ({ text }) => `"${printable(text)}" has no meaning here. Take it out, or put words into "quotes".`,
  'unclosed-text': () => 'This text has no closing quote. It ends where the line ends.',
  'unclosed-block': () => 'This block is not closed. Write a } on a line of its own below its last line.',
  'unclosed-bracket': ({ text }) =>
    text === '['
      ? 'A pixel is given as [12]: a number and a closing bracket.'
      : 'A copy or strand is given as (3): a number and a closing bracket.',
  'stray-brace': ({ text }) =>
    text === '}'
      ? 'This } closes nothing. Take it out, or put back the line with the { above.'
      : 'Put the { at the end of the line that it belongs to.',
  'line-not-ended': () => 'A new statement starts on a new line.',
  'decimal-comma': ({ text }) =>
    /,\d{3}$/.test(text)
      ? `Write ${text.replace(',', '')} for thousands or ${text.replace(',', '.')} for a decimal: numbers have no comma.`
      : `Write ${text.replace(',', '.')}: decimals take a point.`,
  'too-deep': () => 'Blocks inside blocks inside blocks: no plan needs more than four.',
  'hidden-character': () =>
    'An invisible character stands here; it can make a line read differently from what it says. Take it out.',
};

function fixes(problem: SyntaxProblem, origin: Origin): Fix[] {
  switch (problem.code) {
    case 'decimal-comma': {
      const [point, none] = [problem.text.replace(',', '.'), problem.text.replace(',', '')];
      // "1,000" may mean a thousand: then it is for the person to say.
      if (/,\d{3}$/.test(problem.text)) {
        return [none, point].map((text) => ({ ...edit(`Write ${text}`, origin, text), preferred: false }));
      }
      return [edit(`Write ${problem.text.replace(',', '.')}`, origin, problem.text.replace(',', '.'))];
    }
    case 'hidden-character':
      return [edit('Take the invisible character out', origin, '')];
    case 'unclosed-text':
      return [edit('Close the text', { ...origin, start: origin.end }, '"')];
    case 'line-not-ended':
      return [edit('Start a new line', { ...origin, end: origin.start }, '\n')];
    default:
      return [];
  }
}

function edit(title: string, origin: Origin, text: string): Fix {
  return { title, edits: [{ origin, text }], preferred: true };
}

function printable(text: string): string {
  const shown = text.replace(/[^\p{L}\p{N}\p{P}\p{S} ]/gu, '\u00b7');
  return shown.length > 20 ? `${shown.slice(0, 20)}…` : shown;
}
