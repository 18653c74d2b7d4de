/**
 * Work that stops after each part, so that whoever drives it may look up, and may leave it there. A part is a look for
 * sets of places or a trial on the network: milliseconds as a rule, tens of them on long runs.
 */
export type Steps<T> = Generator<void, T>;

/** Does all of it at once. */
export function finish<T>(steps: Steps<T>): T {
  for (;;) {
    const { done, value } = steps.next();
    if (done === true) return value;
  }
}
