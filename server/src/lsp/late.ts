/** Gives what stands for a part of an answer until the answer is written. */
export type Late = <T extends object>(make: () => T) => T;

/** Where messages are written as JSON: a part is made when its turn has come, and let go when it is written. */
export const lateJson: Late = <T extends object>(make: () => T) => new LatePart(make) as unknown as T;

/** Where messages are handed over as they are, as between the threads of a browser. */
export const atOnce: Late = (make) => make();

class LatePart {
  readonly toJSON: () => object;

  constructor(make: () => object) {
    this.toJSON = make;
  }
}
