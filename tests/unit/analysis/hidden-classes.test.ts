import { setFlagsFromString } from 'node:v8';
import { runInThisContext } from 'node:vm';
import { expect, test } from 'vitest';
import { Host } from '#server/analysis/host.ts';
import { FEW_PARTS } from '../../support/parts.ts';

/**
 * V8 reads objects of one hidden class many times faster than objects of many, and keeps less for them. An object literal
 * that begins with a spread gets a hidden class of its own each time, so the things of a plan must not be made like that.
 */
setFlagsFromString('--allow-natives-syntax');
const haveSameClass: (a: object, b: object) => boolean = runInThisContext('(a, b) => %HaveSameMap(a, b)');

const MAIN = 'file:///display/plan.festoon';
const GROUPS = 40;
/** Fields may widen while the first few objects are made, which then keep the class that they have. */
const MOST_CLASSES = 4;

const text = `plan "Many" {
}
place shed
${FEW_PARTS}part controller box-part {
  ports 4
}
${Array.from(
  { length: GROUPS },
  (_, n) => `supply psu-${n} of big at shed {
  output 1 fuse 7.5 A
}
controller box-${n} of box-part at shed from psu-${n}.1
run run-${n} from box-${n}.1 at shed {
  lead 1 m of lead
  string ${20 + n} px of bullet every 75 mm
}
feed feed-${n} from psu-${n}.1 to run-${n}.end ${n + 2} m of lead
`,
).join('')}`;

function classesOf(objects: Iterable<object>): { objects: number; classes: number } {
  const all = [...objects];
  const firsts: object[] = [];
  for (const each of all) if (!firsts.some((first) => haveSameClass(first, each))) firsts.push(each);
  return { objects: all.length, classes: firsts.length };
}

test('the things of a kind, and what is computed of them, share a hidden class', () => {
  const host = new Host(() => ({ missing: true }));
  host.setFile(MAIN, text);
  const { plan, account } = host.analyse(MAIN);
  const { supplies, controllers, runs, feeds } = plan;
  const kinds: Readonly<Record<string, Iterable<object>>> = {
    supplies: supplies.values(),
    outputs: [...supplies.values()].flatMap(({ outputs }) => [...outputs.values()]),
    controllers: controllers.values(),
    runs: runs.values(),
    pieces: [...runs.values()].flatMap(({ pieces }) => pieces.filter(({ kind }) => kind === 'string')),
    feeds: feeds.values(),
    taps: [...feeds.values()].flatMap(({ pieces }) =>
      pieces.flatMap((piece) => (piece.kind === 'tap' ? [piece.tap] : [])),
    ),
    origins: [...runs.values()].map(({ origin }) => origin),
    uses: plan.uses().map(({ origin }) => origin),
    'accounts of runs': account.runs.values(),
    'accounts of feeds': account.feeds.values(),
    'accounts of supplies': account.supplies.values(),
  };
  for (const [kind, things] of Object.entries(kinds)) {
    const { objects, classes } = classesOf(things);
    expect(objects, kind).toBeGreaterThanOrEqual(GROUPS);
    expect(classes, kind).toBeLessThanOrEqual(MOST_CLASSES);
  }
});

/**
 * An object with an accessor of its own gets a hidden class of its own, which holds on to the function and all that it sees
 * until the whole heap is collected: then every version of a plan stays for a while, and each pause to collect is longer.
 */
test('the versions of an analysis share a hidden class, and so do their plans and accounts', () => {
  const host = new Host(() => ({ missing: true }));
  const versions = Array.from({ length: 12 }, (_, n) => {
    host.setFile(MAIN, text.replace('run-3.end 5 m', `run-3.end ${n + 6} m`));
    const analysis = host.analyse(MAIN);
    expect(analysis.findings).toBeDefined();
    return analysis;
  });
  const parts: Readonly<Record<string, object[]>> = {
    analyses: versions,
    plans: versions.map(({ plan }) => plan),
    accounts: versions.map(({ account }) => account),
  };
  for (const [kind, objects] of Object.entries(parts)) {
    expect(new Set(objects).size, kind).toBe(versions.length);
    expect(classesOf(objects).classes, kind).toBeLessThanOrEqual(MOST_CLASSES);
  }
});
