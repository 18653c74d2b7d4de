/**
 * Names of nodes and elements in a SPICE deck. The simulator knows no case and takes few characters, so two names of
 * a plan can fall together; the second one then gets a number.
 */
export class SpiceNames {
  private readonly taken = new Set<string>();
  private readonly next = new Map<string, number>();

  /** Lower-case letters, digits and underscores; accents are taken off, everything else becomes an underscore. */
  clean(text: string): string {
    const plain = text.normalize('NFD').replace(/\p{M}/gu, '').toLowerCase();
    return plain.replace(/[^a-z0-9]+/g, '_').replace(/^_+|_+$/g, '') || 'x';
  }

  /** A clean name that nothing else is built on. */
  base(text: string): string {
    return this.claim(this.clean(text));
  }

  /** The name as wanted, or with a number behind it where that is taken. */
  claim(wanted: string): string {
    let name = wanted;
    for (let number = this.next.get(wanted.toLowerCase()) ?? 2; this.taken.has(name.toLowerCase()); number++) {
      name = `${wanted}_${number}`;
      this.next.set(wanted.toLowerCase(), number + 1);
    }
    this.taken.add(name.toLowerCase());
    return name;
  }
}
