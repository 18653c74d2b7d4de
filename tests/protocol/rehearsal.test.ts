import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';
import { afterEach, describe, expect, it, vi } from 'vitest';
import { lateJson } from '#server/lsp/late.ts';
import { REHEARSED, Rehearsal, rehearseWhenQuiet } from '#server/lsp/rehearsal.ts';
import { checkPlan } from '../support/plans.ts';

/** What is typed into while nobody asks, and when. */

class Watched extends Rehearsal {
  readonly answers: { readonly stage: object; readonly shown: string; readonly findings: unknown }[] = [];

  protected override async type(...[stage, turn]: Parameters<Rehearsal['type']>): Promise<readonly unknown[]> {
    const answers = await super.type(stage, turn);
    const [shown, findings] = answers;
    this.answers.push({ stage, shown: JSON.stringify(shown), findings });
    return answers;
  }
}

describe('a rehearsal', () => {
  it('has a sound plan, in which something is computed', () => {
    const { account } = checkPlan(REHEARSED);
    expect(account.runs.size).toBe(8);
    for (const { amps } of account.runs.values()) expect(amps).toBeGreaterThan(0);
  });

  it('types what stays sound, and is answered with figures that change', async () => {
    const lengths: number[] = [];
    const rehearsal = new Watched({ late: lateJson, textChanged: (length) => lengths.push(length) });
    for (let step = 0; step < 40; step++) expect(await rehearsal.step()).toBe(true);
    rehearsal.end();
    // Opened on both stages, then edited 40 times, each time by a number of the same width.
    expect(lengths).toEqual(Array.from({ length: 42 }, () => REHEARSED.length));
    expect(new Set(rehearsal.answers.map(({ stage }) => stage)).size).toBe(2);
    const shown = (from: number) =>
      rehearsal.answers.filter((_, turn) => turn % 4 === from).map((answer) => answer.shown);
    // Of the run whose feed has a length that no feed has had, and of a run whose feed is as it was at first.
    for (const hover of [...shown(0), ...shown(1)]) expect(hover).toMatch(/run \*\*`run-\d`\*\*.*image\/svg\+xml/);
    expect(new Set(shown(0)).size).toBe(10);
    expect(new Set(shown(1)).size).toBe(4);
    for (const completion of [...shown(2), ...shown(3)]) expect(completion).toContain('"two-core-14"');
    for (const { findings } of rehearsal.answers) expect(findings).toMatchObject({ kind: 'full', items: [] });
  });
});

describe('it is rehearsed', () => {
  afterEach(() => {
    vi.useRealTimers();
  });

  /** A rehearsal of some steps that notes what is done with it; each message comes while a step is under way. */
  function watched(steps: number) {
    vi.useFakeTimers();
    let over: () => void = () => undefined;
    const seen = { made: 0, steps: 0, ended: 0, heard: 1, isReady: true, messageAt: -1, faultAt: -1 };
    const changed = rehearseWhenQuiet(
      (handler) => {
        over = handler;
      },
      () => seen.heard,
      () => seen.isReady,
      () => {
        seen.made++;
        return {
          step: async () => {
            seen.steps++;
            if (seen.steps === seen.messageAt) seen.heard++;
            if (seen.steps === seen.faultAt) throw new Error('a fault');
            return seen.steps < steps;
          },
          end: () => {
            seen.ended++;
          },
        };
      },
    );
    const shutDown = () => {
      seen.heard++;
      over();
    };
    return { seen, changed, shutDown };
  }

  it('once, when it has been quiet for a while after a plan was opened', async () => {
    const { seen, changed } = watched(5);
    await vi.advanceTimersByTimeAsync(10_000);
    expect(seen.made).toBe(0);
    changed();
    await vi.advanceTimersByTimeAsync(499);
    expect(seen.made).toBe(0);
    await vi.advanceTimersByTimeAsync(1);
    expect(seen).toMatchObject({ made: 1, steps: 5, ended: 1 });
    changed();
    await vi.advanceTimersByTimeAsync(10_000);
    expect(seen).toMatchObject({ made: 1, steps: 5, ended: 1 });
  });

  it('not while messages come, and goes on where it was when they have ceased', async () => {
    const { seen, changed } = watched(5);
    changed();
    await vi.advanceTimersByTimeAsync(400);
    seen.heard++;
    await vi.advanceTimersByTimeAsync(400);
    expect(seen.steps).toBe(0);
    seen.messageAt = 2;
    await vi.advanceTimersByTimeAsync(200);
    expect(seen).toMatchObject({ made: 1, steps: 2, ended: 0 });
    await vi.advanceTimersByTimeAsync(500);
    expect(seen).toMatchObject({ made: 1, steps: 5, ended: 1 });
  });

  it('only where that is worth it, which is asked again with the next plan', async () => {
    const { seen, changed } = watched(5);
    seen.isReady = false;
    changed();
    await vi.advanceTimersByTimeAsync(10_000);
    seen.isReady = true;
    await vi.advanceTimersByTimeAsync(10_000);
    expect(seen.made).toBe(0);
    changed();
    await vi.advanceTimersByTimeAsync(500);
    expect(seen).toMatchObject({ made: 1, steps: 5, ended: 1 });
  });

  it('not before a message has come', async () => {
    const { seen, changed } = watched(5);
    seen.heard = 0;
    changed();
    await vi.advanceTimersByTimeAsync(10_000);
    expect(seen.made).toBe(0);
  });

  it('no further after the client has said that it is over', async () => {
    const { seen, changed, shutDown } = watched(5);
    seen.messageAt = 2;
    changed();
    await vi.advanceTimersByTimeAsync(500);
    expect(seen).toMatchObject({ made: 1, steps: 2 });
    shutDown();
    await vi.advanceTimersByTimeAsync(10_000);
    // A document that is closed changes the texts as well.
    changed();
    await vi.advanceTimersByTimeAsync(10_000);
    expect(seen).toMatchObject({ made: 1, steps: 2 });
  });

  it('by a server of which nothing is kept when that is done', async () => {
    vi.useFakeTimers();
    setFlagsFromString('--expose-gc');
    const collect: () => void = runInNewContext('gc');
    let made: WeakRef<object> | undefined;
    const changed = rehearseWhenQuiet(
      () => undefined,
      () => 1,
      () => true,
      () => {
        const rehearsal = { step: async () => false, end: () => undefined };
        made = new WeakRef(rehearsal);
        return rehearsal;
      },
    );
    changed();
    await vi.advanceTimersByTimeAsync(500);
    vi.useRealTimers();
    // What a WeakRef has just given stays until the turn is over.
    await new Promise((resolve) => {
      setImmediate(resolve);
    });
    collect();
    expect(made).toBeDefined();
    expect(made?.deref()).toBeUndefined();
    // It can still be called, and so holds on to all that it could reach.
    changed();
  });

  it('no further after a fault', async () => {
    const { seen, changed } = watched(5);
    seen.faultAt = 1;
    for (let times = 0; times < 3; times++) {
      changed();
      await vi.advanceTimersByTimeAsync(1000);
    }
    expect(seen).toMatchObject({ steps: 1, ended: 1 });
  });
});
