import type { Origin } from '../finding.ts';
import type { Conductor, GapLine, Piece, StringLine, StringPiece, WholePart } from '../plan.ts';
import type { Build } from './context.ts';

/** A display beyond these is a slip of the finger, not a display; the limits keep the answer quick. */
const MOST_PIXELS = 1_000_000;
const MOST_PIECES = 200_000;

/** Lays pieces one behind the other and keeps count. */
export class Layout {
  readonly pieces: Piece[] = [];
  pixelCount = 0;
  full = false;
  private readonly build: Build;
  private readonly runName: string;
  private readonly origin: Origin;

  constructor(build: Build, runName: string, origin: Origin) {
    this.build = build;
    this.runName = runName;
    this.origin = origin;
  }

  add(piece: Piece): void {
    if (this.full) return;
    if (this.pieces.length >= MOST_PIECES) this.reportFull(this.origin);
    else this.pieces.push(piece);
  }

  gap(line: GapLine): void {
    const wire = line.cable?.conductor ?? this.lastWire();
    if (wire === undefined) return;
    this.add({ kind: 'gap', length: line.length, cable: line.cable, wire, bare: false, origin: line.origin });
  }

  string(line: StringLine, element: string | undefined, copies: StringPiece['copies'], origin = line.origin): void {
    const { part } = line;
    if (part?.wire === undefined || part.volts === undefined) return;
    const whole = part as WholePart;
    for (let strand = 1; strand <= line.strands && !this.full; strand++) {
      if (strand > 1)
        this.add({ kind: 'gap', length: line.spacing, cable: undefined, wire: whole.wire, bare: true, origin });
      if (this.pixelCount + line.perStrand > MOST_PIXELS) return this.reportFull(line.countOrigin);
      this.add({
        kind: 'string',
        line,
        part: whole,
        first: this.pixelCount + 1,
        count: line.perStrand,
        pitch: line.pitch,
        element,
        copies,
        strand,
        origin,
      });
      this.pixelCount += line.perStrand;
    }
  }

  private lastWire(): Conductor | undefined {
    for (let index = this.pieces.length - 1; index >= 0; index--) {
      const piece = this.pieces[index];
      if (piece?.kind === 'string') return piece.part.wire;
      if (piece?.kind === 'lead') return piece.cable.conductor;
    }
    return undefined;
  }

  private reportFull(origin: Origin): void {
    this.full = true;
    this.build.report({
      code: 'impossible-value',
      origin,
      message: `${this.runName} would have more than ${MOST_PIXELS.toLocaleString('en')} pixels or ${MOST_PIECES.toLocaleString('en')} pieces. What lies beyond is left out.`,
    });
  }
}
