/**
 * What the data are made to hold: the item of a list at a place that it has, the value of a key that was put. That it is not
 * there is a fault of ours, and is told as one where it happens rather than as a wrong figure later on.
 */
export function sure<T>(value: T | undefined): T {
  if (value === undefined) throw new Error('internal: something that must be there is not');
  return value;
}
