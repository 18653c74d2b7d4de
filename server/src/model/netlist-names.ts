/**
 * Names of nodes and elements in a SPICE deck. The simulator knows no case and takes few characters, so two names of
 * a plan can fall together; the second one then gets a number. Runs come first: what stands at their pixels is named
 * by run and number (`n_eaves_17_p`) without being asked for, and nothing else may have such a name.
 */
export class SpiceNames {
  private readonly taken = new Set<string>();
  private readonly runs = new Set<string>();
  private readonly next = new Map<string, number>();

  /** The name of a run in the names of its pixels; all runs are to be named before anything else. */
  run(name: string): string {
    const wanted = clean(name);
    let base = wanted;
    for (let number = 2; this.runs.has(base); number++) base = `${wanted}_x${number}`;
    this.runs.add(base);
    return base;
  }

  /** A name made of a leading word and of words from the plan, with a number behind it where it is taken. */
  claim(kind: string, words: string): string {
    const wanted = `${kind}_${clean(words)}`;
    let name = wanted;
    for (let number = this.next.get(wanted) ?? 2; this.taken.has(name) || this.isOfPixel(name); number++) {
      name = `${wanted}_x${number}`;
      this.next.set(wanted, number + 1);
    }
    this.taken.add(name);
    return name;
  }

  private isOfPixel(name: string): boolean {
    const base = /^[^_]*_(.+?)_\d+(?:_[pg])?$/.exec(name)?.[1];
    return base !== undefined && this.runs.has(base);
  }
}

/** Lower-case letters, digits and underscores; accents are taken off, everything else becomes an underscore. */
function clean(text: string): string {
  const plain = text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
  return plain.replace(/[^a-z0-9]+/g, '_').replace(/^_+|_+$/g, '') || 'x';
}
