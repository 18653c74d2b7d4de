import { inNewlinesOf } from '#grammar/newline.ts';
import type { Edit } from '../model/finding.ts';
import type { Bench } from '../planning/bench.ts';
import type { Analysis } from './analysis.ts';
import { applyEdits, type Host } from './host.ts';

/** A bench on the files of a host: whichever bench is asked puts its own there. */
export class HostBench implements Bench {
  readonly ctx: Bench['ctx'];
  readonly analysis: Analysis;
  private readonly host: Host;
  private readonly tell: () => void;

  /** `tell` is called whenever the plan is looked at with some edits. */
  constructor(host: Host, analysis: Analysis, tell: () => void = () => undefined) {
    this.host = host;
    this.tell = tell;
    this.analysis = analysis;
    const { plan: own, account, claims, uri } = analysis;
    const preview: Bench['ctx']['preview'] = (edits) => {
      if (edits.length === 0) return analysis;
      this.enter();
      tell();
      return host.preview(uri, edits);
    };
    this.ctx = { plan: own, account, claims, preview };
  }

  after(edits: readonly Edit[]): HostBench {
    this.enter();
    for (const uri of new Set(edits.map(({ origin }) => origin.uri))) {
      const file = this.host.fileOf(uri);
      const own = edits.filter(({ origin }) => origin.uri === uri);
      if (file !== undefined) this.host.setFile(uri, applyEdits(file, inLineEnds(own, file.text)));
    }
    this.tell();
    return new HostBench(this.host, this.host.analyse(this.analysis.uri), this.tell);
  }

  private enter(): void {
    for (const file of this.analysis.files) this.host.restore(file);
  }
}

/** What is put in ends its lines as the file does. */
function inLineEnds(edits: readonly Edit[], text: string): readonly Edit[] {
  return edits.map((edit) => ({ ...edit, text: inNewlinesOf(text, edit.text) }));
}
