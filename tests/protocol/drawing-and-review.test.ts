import { afterEach, describe, expect, it } from 'vitest';
import { FOLDER, LanguageClient } from '../support/language-client.ts';
import { SMALL } from '../unit/cli/console.ts';

const PLAN = 'plan.festoon';
let client: LanguageClient;
afterEach(() => client.close());

interface Shape {
  readonly kind: string;
  readonly says?: string;
  readonly place?: { readonly uri: string; readonly range: { readonly start: { readonly line: number } } };
  readonly shapes?: readonly Shape[];
}

describe('festoon/drawing', () => {
  it('draws the run that the cursor stands in, and says where each thing stands', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, SMALL);
    const drawing = await client.ask<{ run: string; runs: string[]; width: number; shapes: Shape[] }>(
      'festoon/drawing',
      PLAN,
      { view: 'run', position: client.at(PLAN, 'feed porch-feed'), width: 800 },
    );
    expect([drawing.run, drawing.runs, drawing.width]).toEqual(['porch-edge', ['porch-edge'], 800]);
    const feed = drawing.shapes.find(({ says }) => says?.startsWith('Feed porch-feed') === true);
    expect(feed?.place).toMatchObject({
      uri: FOLDER + PLAN,
      range: { start: { line: SMALL.split('\n').findIndex((line) => line.startsWith('feed ')) } },
    });
  });

  it('draws at a width that can be drawn, whatever is asked for', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, SMALL);
    for (const width of [-5, 0, 1e9, 'wide', null]) {
      const drawing = await client.ask<{ width: number }>('festoon/drawing', PLAN, { view: 'wiring', width });
      expect(drawing.width).toBeGreaterThanOrEqual(560);
      expect(drawing.width).toBeLessThanOrEqual(3000);
    }
  });
});

describe('festoon/review', () => {
  interface Review {
    readonly reason?: string;
    readonly paper?: { readonly tables: readonly { readonly title: string; readonly rows: readonly unknown[][] }[] };
  }
  const rowsOf = ({ paper }: Review) => (paper?.tables ?? []).flatMap(({ rows }) => rows);
  const split = SMALL.indexOf('place shed');
  const main = (count: string) =>
    `plan "Porch" {\n  frame-rate 40 fps\n}\nuse "parts.festoon"\n${SMALL.slice(split).replace('10 px', count)}`;
  const parts = SMALL.slice(0, split).replace(/plan[^}]*\}/, '');

  it('tells what has changed since the last commit, and follows a new one', async () => {
    const committed = new Map([
      [PLAN, main('10 px')],
      ['parts.festoon', parts],
    ]);
    client = await LanguageClient.inMemory({ files: new Map([['parts.festoon', parts]]) });
    client.connection.onRequest('festoon/committedFile', ({ uri }: { uri: string }): object => {
      const text = committed.get(uri.slice(FOLDER.length));
      return text === undefined ? { error: 'not committed' } : { text };
    });
    await client.open(PLAN, main('20 px'));
    // 10 and 20 pixels of 60 mA.
    const first = rowsOf(await client.ask<Review>('festoon/review', PLAN));
    expect(first).toContainEqual(['pixels', '10 pixels', '20 pixels', null]);
    committed.set(PLAN, main('15 px'));
    expect(rowsOf(await client.ask<Review>('festoon/review', PLAN))).toContainEqual([
      'pixels',
      '15 pixels',
      '20 pixels',
      null,
    ]);
    committed.set(PLAN, main('20 px'));
    expect(rowsOf(await client.ask<Review>('festoon/review', PLAN))).toEqual([]);
  });

  it('says why there is nothing to compare with', async () => {
    client = await LanguageClient.inMemory();
    await client.open(PLAN, SMALL);
    expect(await client.ask<Review>('festoon/review', PLAN)).toEqual({
      reason: 'This editor cannot tell what was last committed.',
    });
  });
});
