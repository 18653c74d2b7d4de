/**
 * What the tests import as `vitest`, small enough to run one test thousands of times in one process: it collects tests
 * and runs them when asked. Hooks of all kinds run around each single test.
 */
import { ASYMMETRIC_MATCHERS_OBJECT, chai, JestAsymmetricMatchers, JestChaiExpect, setState } from '@vitest/expect';

chai.use(JestChaiExpect);
chai.use(JestAsymmetricMatchers);

export const expect = Object.assign(
  (value, message) => chai.expect(value, message),
  globalThis[ASYMMETRIC_MATCHERS_OBJECT],
);
setState({ assertionCalls: 0 }, expect);

/** Every test, in the order of the files. */
export const tests = [];
let suite = { name: '', before: [], after: [], outer: undefined };

function suites(name, ...rest) {
  const outer = suite;
  suite = { name, before: [], after: [], outer };
  rest.at(-1)();
  suite = outer;
}

function single(name, ...rest) {
  const body = rest.find((each) => typeof each === 'function');
  tests.push({ name, body, suite });
}

const each =
  (make) =>
  (table) =>
  (name, ...rest) => {
    for (const [index, row] of [...table].entries()) {
      const values = Array.isArray(row) ? row : [row];
      const bound = rest.map((part) => (typeof part === 'function' ? () => part(...values) : part));
      make(`${name} ${index} ${String(values[0]).slice(0, 40)}`, ...bound);
    }
  };

export const describe = Object.assign(suites, { each: each(suites) });
export const it = Object.assign(single, { each: each(single) });
export const test = it;
export const beforeAll = (hook) => suite.before.push(hook);
export const beforeEach = beforeAll;
export const afterAll = (hook) => suite.after.push(hook);
export const afterEach = afterAll;

export const nameOf = ({ name, suite: inner }) =>
  [...outward(inner).map((each) => each.name), name].filter(Boolean).join(' > ');

const outward = (inner) => (inner === undefined ? [] : [...outward(inner.outer), inner]);

/** Runs one test with its hooks; rejects when it fails. */
export async function runTest({ body, suite: inner }) {
  const chain = outward(inner);
  for (const { before } of chain) for (const hook of before) await hook();
  await body();
  for (const { after } of chain) for (const hook of after) await hook();
}
