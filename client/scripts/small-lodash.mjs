/**
 * What the parser's library takes of lodash, written with what the language itself has by now: 30 kB less in each
 * of three bundles. tests/unit/house/small-lodash.test.ts holds it to the original.
 */

const entriesOf = (all) => (Array.isArray(all) ? [...all.entries()] : Object.entries(all ?? {}));

export const identity = (value) => value;
export const noop = () => undefined;
export const isArray = Array.isArray;
export const isString = (value) => typeof value === 'string';
export const isFunction = (value) => typeof value === 'function';
export const isUndefined = (value) => value === undefined;
export const isRegExp = (value) => value instanceof RegExp;
export const isObject = (value) => (typeof value === 'object' && value !== null) || typeof value === 'function';
export const isEmpty = (all) => (isString(all) || isArray(all) ? all.length === 0 : keys(all).length === 0);

export const keys = (all) => Object.keys(all ?? {});
export const values = (all) => (isString(all) ? [...all] : Object.values(all ?? {}));
export const has = (all, key) => all !== undefined && all !== null && Object.hasOwn(all, key);
export const assign = Object.assign;
export const clone = (all) => (isArray(all) ? [...all] : isObject(all) ? { ...all } : all);
/** The first that says something of a key counts. */
export const defaults = (all, ...others) => {
  for (const other of others) for (const key of keys(other)) if (all[key] === undefined) all[key] = other[key];
  return all;
};
export const pickBy = (all, is) => Object.fromEntries(entriesOf(all).filter(([key, value]) => is(value, key)));

export const forEach = (all, body) => {
  for (const [key, value] of entriesOf(all)) if (body(value, key, all) === false) break;
  return all;
};
export const map = (all, how) => entriesOf(all).map(([key, value]) => how(value, key, all));
export const flatMap = (all, how) => flatten(map(all, how));
export const filter = (all, is) => values(all).filter((value) => is(value));
export const reject = (all, is) => filter(all, (value) => !is(value));
export const find = (all, is) => values(all).find((value) => is(value));
export const every = (all, is) => entriesOf(all).every(([key, value]) => is(value, key, all));
export const some = (all, is) => entriesOf(all).some(([key, value]) => is(value, key, all));
export const reduce = (all, how, ...start) => {
  const entries = entriesOf(all);
  let sum = start.length > 0 ? start[0] : entries.shift()?.[1];
  for (const [key, value] of entries) sum = how(sum, value, key, all);
  return sum;
};
export const groupBy = (all, how) => {
  const groups = {};
  for (const value of values(all)) {
    const key = how(value);
    if (has(groups, key)) groups[key].push(value);
    else groups[key] = [value];
  }
  return groups;
};
export const includes = (all, value) => (isString(all) ? all.includes(value) : values(all).includes(value));

export const first = (all) => all?.[0];
export const last = (all) => all?.[all.length - 1];
export const indexOf = (all, value) => (all ?? []).indexOf(value);
export const flatten = (all) => (all ?? []).flat();
export const compact = (all) => filter(all, identity);
export const uniq = (all) => [...new Set(all)];
export const difference = (all, ...others) => all.filter((value) => !others.some((other) => other.includes(value)));
export const drop = (all, count = 1) => (all ?? []).slice(count);
export const dropRight = (all, count = 1) => (all ?? []).slice(0, Math.max(0, (all ?? []).length - count));
export const upperFirst = (text) => text.slice(0, 1).toUpperCase() + text.slice(1);
