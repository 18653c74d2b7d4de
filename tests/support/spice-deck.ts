/** ngspice, compiled to WebAssembly, for whole decks that bring their own options and end. */
import { Simulation } from 'eecircuit-engine';

/** Volts of every named node at the operating point of a deck, by lower-case name. */
export type RunDeck = (deck: readonly string[]) => Promise<ReadonlyMap<string, number>>;

/** Start it once per test file: loading takes about half a second. Rejects with the simulator's own words. */
export async function startDecks(): Promise<RunDeck> {
  const simulation = await quietly(async () => {
    const made = new Simulation();
    await made.start();
    return made;
  });
  return async (deck) => {
    simulation.setNetList([...deck, ''].join('\n'));
    const result = await quietly(() => simulation.runSim());
    const errors = simulation.getError().filter((line) => /error|abort/i.test(line));
    if (errors.length > 0 || result.numPoints < 1) throw new Error(`ngspice: ${errors.join('; ') || 'no result'}`);
    const volts = new Map<string, number>();
    for (const { name, type, values } of result.data) {
      if (type === 'voltage') volts.set(name.toLowerCase().replace(/^v\((.*)\)$/, '$1'), values[0] as number);
    }
    return volts;
  };
}

/** The engine prints its progress; a test's output is kept for what matters. */
async function quietly<T>(work: () => Promise<T>): Promise<T> {
  const { log, warn, error, info, debug } = console;
  const silent = () => undefined;
  Object.assign(console, { log: silent, warn: silent, error: silent, info: silent, debug: silent });
  try {
    return await work();
  } finally {
    Object.assign(console, { log, warn, error, info, debug });
  }
}
