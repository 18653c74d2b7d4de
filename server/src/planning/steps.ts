/** Work that stops every few milliseconds, so that whoever drives it may look up, and may leave it there. */
export type Steps<T> = Generator<void, T>;

/** Does all of it at once. */
export function finish<T>(steps: Steps<T>): T {
  for (;;) {
    const { done, value } = steps.next();
    if (done === true) return value;
  }
}
