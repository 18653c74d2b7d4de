import type { PixelPart, Run, StringPiece } from '../model/plan.ts';
import type { Check } from './check.ts';

export const mixedPort: Check = {
  code: 'mixed-port',
  level: 'error',
  title: 'Kinds on one port that cannot share it',
  explanation: `A string takes its data one bit after the other on one wire. A multiplexed panel takes rows, colours and a clock on a
ribbon. One port cannot speak both. And panels of one ribbon are shifted and lit together: they need the same rows and the
same scan.

What helps: a run of its own, on another port, for each kind.`,
  run: ({ plan }, report) => {
    for (const run of plan.runs.values()) {
      const first = run.pieces.find(isString);
      const other = run.pieces.find(
        (piece): piece is StringPiece => isString(piece) && clashes(first?.part, piece.part),
      );
      if (first === undefined || other === undefined) continue;
      report({
        code: 'mixed-port',
        origin: other.line.partOrigin,
        subject: run.name,
        message: `${whatOf(other.part)} cannot share a port with ${whatOf(first.part)}. Give it a run of its own, on another port.`,
        related: [{ origin: first.line.partOrigin, message: `${first.part.name} comes first on ${run.name}.` }],
      });
    }
  },
};

function isString(piece: Run['pieces'][number]): piece is StringPiece {
  return piece.kind === 'string';
}

function clashes(first: PixelPart | undefined, other: PixelPart): boolean {
  if (first === undefined) return false;
  const [a, b] = [first.panel, other.panel];
  if (a === undefined || b === undefined) return first.kind !== other.kind;
  return a.rows !== b.rows || a.turns !== b.turns;
}

function whatOf({ name, kind, panel }: PixelPart): string {
  return panel === undefined ? `${name} (a ${kind})` : `${name} (a panel of ${panel.rows} rows, scan ${panel.turns})`;
}
