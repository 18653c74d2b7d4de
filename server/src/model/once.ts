/** What a function gives, found when it is first asked for; the function is let go then, with all that it holds on to. */
export function once<T>(find: () => T): () => T {
  let pending: (() => T) | undefined = find;
  let value: T;
  return () => {
    if (pending !== undefined) {
      value = pending();
      pending = undefined;
    }
    return value;
  };
}

/** A function that gives what is known already, and holds on to nothing else. */
export function always<T>(value: T): () => T {
  return () => value;
}
