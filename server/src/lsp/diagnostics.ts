import type { Diagnostic } from 'vscode-languageserver';
import { fileIn } from '../ide/file-span.ts';
import { problemsOf } from '../ide/problems.ts';
import type { Plans } from './plans.ts';
import { SOURCE, toDiagnostic } from './to-lsp.ts';
import type { Translator } from './translator.ts';

/** The diagnostics of a file, with a mark by which a later answer can be told to be the same. */
export interface FileDiagnostics {
  readonly items: Diagnostic[];
  readonly resultId: string;
}

/** From all open plans that the file belongs to; what several of them find alike is said once. Rejects on internal errors. */
export async function diagnosticsOf(plans: Plans, to: Translator, key: string): Promise<FileDiagnostics> {
  const items = new Map<string, Diagnostic>();
  for (const analysis of await plans.analysesFor(key)) {
    if (fileIn(analysis, key) === undefined) continue;
    for (const problem of problemsOf(analysis, key)) {
      const mark = `${problem.start} ${problem.end} ${problem.code} ${problem.message}`;
      if (!items.has(mark)) items.set(mark, toDiagnostic(to, analysis, key, problem));
    }
  }
  return stamped([...items.values()]);
}

export function stamped(items: Diagnostic[]): FileDiagnostics {
  return { items, resultId: fingerprint(JSON.stringify(items)) };
}

/** What is shown when the server itself fails: the plan's other features go on. */
export function internalProblem(message: string): FileDiagnostics {
  const start = { line: 0, character: 0 };
  return stamped([
    {
      range: { start, end: start },
      severity: 1,
      code: 'internal',
      source: SOURCE,
      message: `Festoon failed while it read this file, so its findings are not complete. To reproduce it, run "festoon check" on this file as it stands and report what it prints: ${message}`,
    },
  ]);
}

/** 53 bits of a text (two multiplicative hashes); short enough to send, long enough that two texts do not meet. */
function fingerprint(text: string): string {
  let [a, b] = [0xdeadbeef ^ text.length, 0x41c6ce57 ^ text.length];
  for (let at = 0; at < text.length; at++) {
    const unit = text.charCodeAt(at);
    a = Math.imul(a ^ unit, 2654435761);
    b = Math.imul(b ^ unit, 1597334677);
  }
  return `${(a >>> 0).toString(36)}${(b >>> 0).toString(36)}`;
}
