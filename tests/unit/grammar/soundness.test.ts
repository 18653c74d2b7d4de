import { Lexer } from 'chevrotain';
import { describe, expect, it } from 'vitest';
import { PlanParser } from '#grammar/parser.ts';
import { TOKEN_TYPES } from '#grammar/tokens.ts';

/** The start of the server leaves these validations out. */
describe('what the parser library holds a grammar to', () => {
  it('finds nothing amiss with the tokens', () => {
    const lexer = new Lexer([...TOKEN_TYPES], { positionTracking: 'onlyOffset', ensureOptimizations: true });
    expect(lexer.lexerDefinitionErrors).toEqual([]);
  });

  it('finds nothing amiss with the rules', () => {
    expect(() => new PlanParser(false)).not.toThrow();
  });
});
