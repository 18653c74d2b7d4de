/** One thing that is told of a plan, with a name that stays the same while the thing keeps its name. */
export interface Fact {
  readonly section: Section;
  /** What the fact is about: "psu-a", "shed to roof", "eaves". */
  readonly subject: string;
  /** What is told of it: "load", "least voltage". */
  readonly what: string;
  readonly value: number;
  /** The value as a person reads it, with its limit where it has one. */
  readonly text: string;
  /** Which way is better; undefined where neither is. */
  readonly better: 'less' | 'more' | undefined;
}

export const SECTIONS = ['display', 'runs', 'supplies', 'outputs', 'circuits', 'routes', 'addresses', 'parts'] as const;
export type Section = (typeof SECTIONS)[number];

/** Makes facts of one section about one thing. */
export function factsAbout(section: Section, subject: string) {
  return (what: string, value: number, text: string, better?: Fact['better']): Fact => ({
    section,
    subject,
    what,
    value,
    text,
    better,
  });
}
