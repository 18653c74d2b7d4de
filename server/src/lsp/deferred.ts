import type { Analysis } from '../analysis/analysis.ts';
import type { FixSource } from '../ide/fixes.ts';

/** What an action carries along that gets its edit only when it is taken. */
export interface DeferredData extends FixSource {
  /** Key of the file that it was offered in. */
  readonly uri: string;
  /** Number of the analysis that it was offered for. */
  readonly made: number;
}

/** Numbers the analyses that actions were offered for, so that none is made on a text that it was not meant for. */
export class Deferred {
  private readonly numbers = new WeakMap<Analysis, number>();
  private last = 0;

  dataOf(analysis: Analysis, uri: string, { finding, fix }: FixSource): DeferredData {
    const made = this.numbers.get(analysis) ?? ++this.last;
    this.numbers.set(analysis, made);
    return { uri, made, finding, fix };
  }

  isOf(analysis: Analysis, { made }: DeferredData): boolean {
    return this.numbers.get(analysis) === made;
  }
}
