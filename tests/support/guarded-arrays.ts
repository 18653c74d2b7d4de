/** Typed arrays that say when somebody reads or writes beside them: as they are, they give nothing and take nothing. */

const KINDS = ['Int8Array', 'Uint8Array', 'Int32Array', 'Uint32Array', 'Float64Array'] as const;
type Kind = (typeof KINDS)[number];
type AnyArray = InstanceType<(typeof globalThis)[Kind]>;

/**
 * Does some work while every typed array that is made refuses to be read or written outside of its length, and an array
 * of whole numbers to be given anything else. The work is told, when it asks, how many places were read or written so far.
 */
export function withGuardedArrays(work: (uses: () => number) => void): void {
  let uses = 0;
  const count = () => {
    uses++;
  };
  const plain = KINDS.map((kind) => [kind, globalThis[kind]] as const);
  const guarded = (array: AnyArray) => guard(array, count);
  for (const [kind, original] of plain) Object.assign(globalThis, { [kind]: standIn(original, guarded) });
  try {
    work(() => uses);
  } finally {
    for (const [kind, original] of plain) Object.assign(globalThis, { [kind]: original });
  }
}

function standIn(original: (typeof globalThis)[Kind], guarded: (array: AnyArray) => AnyArray) {
  return new Proxy(original, {
    construct: (target, args) => guarded(Reflect.construct(target, args) as AnyArray),
    get(target, key) {
      const value: unknown = Reflect.get(target, key);
      if (key !== 'from' && key !== 'of') return value;
      return (...args: unknown[]) => guarded((value as (...all: unknown[]) => AnyArray).apply(target, args));
    },
  });
}

function guard(array: AnyArray, count: () => void): AnyArray {
  const isWhole = !(array instanceof Real);
  const check = (key: string | symbol) => {
    if (!isPlace(key)) return;
    if (!(Number(key) >= 0 && Number(key) < array.length)) throw new RangeError(`place ${key} of ${array.length}`);
    count();
  };
  return new Proxy(array, {
    get(target, key) {
      check(key);
      const value: unknown = Reflect.get(target, key, target);
      if (typeof value !== 'function') return value;
      return (...args: unknown[]) => {
        if (key === 'subarray') checkPart(array.length, args as number[]);
        const result: unknown = (value as (...all: unknown[]) => unknown).apply(target, args);
        return ArrayBuffer.isView(result) ? guard(result as AnyArray, count) : result;
      };
    },
    set(target, key, value: number) {
      check(key);
      if (isWhole && !Number.isInteger(value)) throw new RangeError(`${value} at ${String(key)}`);
      return Reflect.set(target, key, value, target);
    },
  });
}

/** What the guards themselves go by, while the name in the open is a guard's. */
const Real = Float64Array;

/** Numbers, and what comes of reckoning with what is not there. */
const isPlace = (key: string | symbol): key is string =>
  typeof key === 'string' && /^-?\d|^NaN$|^undefined$|Infinity$/.test(key);

function checkPart(length: number, [from = 0, to = length]: readonly number[]): void {
  if (!(from >= 0 && from <= to && to <= length)) throw new RangeError(`${from} to ${to} of ${length}`);
}
