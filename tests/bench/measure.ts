/** Repeated timing with a warm-up, and what is said of it. */

export interface Timing {
  readonly median: number;
  readonly least: number;
  readonly most: number;
  readonly repeats: number;
}

/** Where results are put so that no compiler may leave the work out. */
export const sink: { value: unknown } = { value: undefined };

/**
 * Processor time of this process so far, ms: of all its threads, those that collect garbage included. Others work on the
 * machine too, and the clock on the wall would measure them as well.
 */
export function processorTime(): number {
  const { user, system } = process.cpuUsage();
  return (user + system) / 1000;
}

/** Times `work` in ms: first `warmUp` runs that do not count, then `repeats` that do. */
export function measure(warmUp: number, repeats: number, work: () => unknown): Timing {
  for (let i = 0; i < warmUp; i++) sink.value = work();
  const times = Array.from({ length: repeats }, () => {
    const begin = processorTime();
    sink.value = work();
    return processorTime() - begin;
  });
  return timingOf(times);
}

/** `times` in ms, in any order. */
export function timingOf(times: readonly number[]): Timing {
  const sorted = [...times].sort((a, b) => a - b);
  return {
    median: sorted[sorted.length >> 1] ?? Number.NaN,
    least: sorted[0] ?? Number.NaN,
    most: sorted[sorted.length - 1] ?? Number.NaN,
    repeats: sorted.length,
  };
}

export function show({ median, least, most, repeats }: Timing): string {
  return `${ms(median)} (${ms(least)} to ${ms(most)}, ${repeats} runs)`;
}

function ms(value: number): string {
  if (value >= 10_000) return `${(value / 1000).toFixed(1)} s`;
  return `${value >= 100 ? value.toFixed(0) : value >= 1 ? value.toFixed(1) : value.toFixed(3)} ms`;
}
