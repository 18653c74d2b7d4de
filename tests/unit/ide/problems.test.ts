import { describe, expect, it } from 'vitest';
import { fixAll, remediesAt } from '#server/ide/fixes.ts';
import { problemsOf } from '#server/ide/problems.ts';
import { DISPLAY } from '../../support/display.ts';
import { edited, marked, shown } from '../../support/marked.ts';
import { analysePlan, MAIN } from '../../support/plans.ts';

describe('the problems of a file', () => {
  it('stand in the order of the text, each on its word', () => {
    const { analysis } = analysePlan('place shed\nplace shed\nroute shed to rof  3 m\nplace roof\n');
    const text = analysis.files[0]?.text ?? '';
    expect(problemsOf(analysis, MAIN).map((problem) => [problem.code, shown(text, problem)])).toEqual([
      ['duplicate-name', 'place ‹shed›'],
      ['unknown-name', 'route shed to ‹rof›  3 m'],
    ]);
  });

  it('come with the other places that take part', () => {
    const { analysis } = analysePlan('place shed\nplace shed\n');
    const [problem] = problemsOf(analysis, MAIN);
    expect(problem?.related).toMatchObject([{ uri: MAIN, start: 6, end: 10, message: 'The first one.' }]);
  });

  it('are those of one file, also where it is only used', () => {
    const { analysis } = analysePlan(
      'use "other.festoon"\nplace shed\n#-- other.festoon\nplace shed\nroute shed to nowhere 1 m\n',
    );
    const other = 'file:///display/other.festoon';
    expect(problemsOf(analysis, MAIN).map((problem) => problem.code)).toEqual(['duplicate-name']);
    expect(problemsOf(analysis, other).map((problem) => problem.code)).toEqual(['unknown-name']);
  });

  it('can always be seen: an empty place takes in a character beside it', () => {
    for (const text of ['run', 'part cable', 'place shed {', 'run a from b.1 {', '}', 'place "']) {
      const { analysis } = analysePlan(text);
      const problems = problemsOf(analysis, MAIN);
      expect(problems.length).toBeGreaterThan(0);
      for (const problem of problems) expect(problem.end).toBeGreaterThan(problem.start);
    }
  });

  it('are a thousand at most, and the last then says how many more there are', () => {
    const { analysis } = analysePlan('place a\n'.repeat(1502));
    const problems = problemsOf(analysis, MAIN);
    expect(problems).toHaveLength(1000);
    expect(problems.slice(0, 999).every((problem) => problem.code === 'duplicate-name')).toBe(true);
    expect(problems.at(-1)).toMatchObject({ code: 'more-findings', level: 'information' });
    expect(problems.at(-1)?.message).toContain('502 more');
  });

  it('fade what is said twice', () => {
    const { analysis } = analysePlan('place a\nplace b\nroute a to b  3 m  limit 2 cables  limit 3 cables\n');
    expect(problemsOf(analysis, MAIN).map(({ code, unnecessary }) => [code, unnecessary])).toEqual([
      ['said-twice', true],
    ]);
  });
});

describe('fixes', () => {
  const remedies = (plan: string) => {
    const { analysis, uri, text, offset } = marked(plan);
    return remediesAt(analysis, uri, { start: offset, end: offset }).map((remedy) => ({
      ...remedy,
      result: edited(text, remedy.edits),
    }));
  };

  it('are those of the problems at the cursor', () => {
    expect(remedies('place roof\nroute roof to ro|f  3 m\n').map(({ title, result }) => [title, result])).toEqual([
      ['Write roof', 'place roof\nroute roof to roof  3 m\n'],
    ]);
    expect(remedies('place roof|\nroute roof to rof  3 m\n')).toEqual([]);
  });

  it('are found at both ends of the word', () => {
    expect(remedies('place roof\nroute roof to |rof  3 m\n')).toHaveLength(1);
    expect(remedies('place roof\nroute roof to rof|  3 m\n')).toHaveLength(1);
  });

  it('keep a unit apart from the word that stands close behind it', () => {
    const text = 'place a\nplace b\nroute a to b  3 m|+limit 2 cables\n';
    expect(remedies(text).map(({ title, result }) => [title, result])).toContainEqual([
      'Write m',
      'place a\nplace b\nroute a to b  3 m limit 2 cables\n',
    ]);
  });

  const FED = `use "bench.festoon"\nsupply psu  of bench-12\ncontroller box  of board  from psu
run eaves  from box.1 {
  string 10 px  of steady-12  every 50 mm
}
`;
  it.each([
    ['a name in place of a sign', 'place b\nroute b to|$b  3 m\n', 'Write b', 'route b to b b  3 m'],
    ['a word that was left out', 'place shed\nsupply psu$|bench-12 at shed\n', 'Write of', 'psu$of bench-12'],
    [
      'a name whose last steps are too many',
      `${FED}feed one  from psu  to eaves.end|[3].end+along\n`,
      'Write eaves.end',
      'eaves.end along',
    ],
    ['a unit', 'place a\nplace b\nroute a to b  3|+limit 2 cables\n', 'Write 3 m', 'b  3 m +limit'],
  ])('keep %s apart from the words beside it', (_, plan, wanted, result) => {
    expect(remedies(plan).find(({ title }) => title === wanted)?.result).toContain(result);
  });

  it('have one preferred among them at most', () => {
    const { analysis, uri, text } = marked('place roof\nroute rof to rof  3,5 m|\n');
    const found = remediesAt(analysis, uri, { start: 0, end: text.length });
    expect(found.length).toBeGreaterThan(1);
    expect(found.filter((remedy) => remedy.preferred)).toHaveLength(1);
  });

  it('offer the same edit once, however many findings it cures', () => {
    const { analysis } = analysePlan(DISPLAY);
    const found = remediesAt(analysis, MAIN, { start: 0, end: DISPLAY.length });
    const edits = found.map((remedy) => JSON.stringify(remedy.edits));
    expect(edits.length).toBeGreaterThan(0);
    expect(edits).toEqual([...new Set(edits)]);
  });

  it('inject power, after which nothing is left to fix', () => {
    const { analysis } = analysePlan(DISPLAY);
    const low = problemsOf(analysis, MAIN).find((problem) => problem.code === 'low-voltage');
    if (low === undefined) throw new Error('the display does not sag');
    const [remedy] = remediesAt(analysis, MAIN, low);
    if (remedy === undefined) throw new Error('no fix is offered');
    expect(remedy.title).toMatch(/^Inject at /);
    const after = analysePlan(edited(DISPLAY, remedy.edits)).analysis;
    const left = problemsOf(after, MAIN);
    expect(left.map((problem) => problem.code)).not.toContain('low-voltage');
    expect(left.flatMap((problem) => remediesAt(after, MAIN, problem))).toEqual([]);
  });
});

describe('fixing all', () => {
  const fixed = (text: string) =>
    edited(
      text,
      fixAll(analysePlan(text).analysis, MAIN).filter((edit) => edit.uri === MAIN),
    );

  it('mends words, decimals and quotes at once', () => {
    expect(fixed('place roof\nroute roof to rof  3,5 m\nplace quay "Quay\n')).toBe(
      'place roof\nroute roof to roof  3.5 m\nplace quay "Quay"\n',
    );
  });

  it('leaves alone what needs a choice or changes what is built', () => {
    expect(fixed(DISPLAY)).toBe(DISPLAY);
    const bare = DISPLAY.replace('every 100 mm', 'every 100');
    expect(fixed(bare)).toBe(bare);
  });

  it('finds nothing more to do afterwards', () => {
    const once = fixed('place roof\nroute rof to rof  3,5 m  limt 3 cables\nplace quay "Quay\n');
    expect(fixed(once)).toBe(once);
  });
});
