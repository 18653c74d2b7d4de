/** Runs in a process of its own, bundled with the tests; told by its parent what to run, it says what came of it. */
import { switchboard } from 'mutation-switch';
import { nameOf, runTest, tests } from 'vitest';

process.on('message', async (order) => process.send(await (order.mutant === undefined ? survey() : trial(order))));
process.send({ ready: tests.length });

/** Runs every test as things are: how long it takes, and which mutants it reaches; -1 stands for those of the start. */
async function survey() {
  const atStart = reached();
  const known = [];
  for (const [index, test] of tests.entries()) {
    switchboard.hits.fill(0);
    const from = process.cpuUsage();
    const passes = await passesIn(test);
    const { user, system } = process.cpuUsage(from);
    known.push({ index, name: nameOf(test), passes, seconds: (user + system) / 1e6, reaches: reached() });
    process.send({ alive: index });
  }
  return { atStart, known };
}

const reached = () => [...switchboard.hits.entries()].filter(([, count]) => count > 0);

/** Tries the tests in turn until one fails with the mutant on. */
async function trial({ mutant, order, most }) {
  Object.assign(switchboard, { active: mutant, asked: 0, most });
  for (const index of order) {
    process.send({ alive: index });
    if (!(await passesIn(tests[index]))) return { by: index };
  }
  return { by: undefined };
}

async function passesIn(test) {
  try {
    await runTest(test);
    return true;
  } catch {
    return false;
  }
}
