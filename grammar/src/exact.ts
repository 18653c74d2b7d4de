const NONE: readonly never[] = [];

/**
 * A list as it stays: one that grew has room to grow further, and one without items takes as much as one that has some.
 * Thousands of these stay in a large plan.
 */
export function exact<T>(list: readonly T[]): readonly T[] {
  return list.length === 0 ? NONE : list.slice();
}
