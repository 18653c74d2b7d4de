import type { CodeActionContext, Position, TextDocumentIdentifier } from 'vscode-languageserver';
import { type CancellationToken, CodeActionKind, LSPErrorCodes, ResponseError } from 'vscode-languageserver';
import type { SourceFile } from '#grammar/source.ts';
import type { Analysis } from '../analysis/analysis.ts';
import { fileIn } from '../ide/file-span.ts';
import type { ServerContext } from './context.ts';
import type { LineIndex } from './line-index.ts';
import type { Translator } from './translator.ts';
import { keyOf } from './uri.ts';

/** A file that a request asks about, in the plan that shows it. */
export interface Asked {
  readonly key: string;
  readonly file: SourceFile;
  readonly analysis: Analysis;
  readonly lines: LineIndex;
  readonly to: Translator;
}

/**
 * The file of a request. Where a newer text has come while files were awaited, the request's positions mean nothing any
 * more and it is answered with "content modified"; undefined for a file that cannot be read.
 */
export async function askedOf(ctx: ServerContext, uri: string, token: CancellationToken): Promise<Asked | undefined> {
  if (ctx.to.leavesOut(uri)) return undefined;
  const key = keyOf(uri);
  const version = ctx.documents.get(key)?.version;
  const analysis = await ctx.plans.analysisFor(key);
  if (token.isCancellationRequested) throw new ResponseError(LSPErrorCodes.RequestCancelled, 'cancelled');
  if (version !== ctx.documents.get(key)?.version)
    throw new ResponseError(LSPErrorCodes.ContentModified, 'the text has changed');
  const file = fileIn(analysis, key);
  return file === undefined ? undefined : { key, file, analysis, lines: ctx.to.linesOf(file), to: ctx.to };
}

/** A guarded handler of a request about one file; a file that cannot be read gets the fallback. */
export function onFile<P extends { readonly textDocument: TextDocumentIdentifier }, R>(
  ctx: ServerContext,
  method: string,
  fallback: R,
  body: (asked: Asked, params: P, token: CancellationToken) => R | Promise<R>,
) {
  return ctx.guard.request<P, R>(method, fallback, async (params, token) => {
    const asked = await askedOf(ctx, params.textDocument.uri, token);
    return asked === undefined ? fallback : body(asked, params, token);
  });
}

export function offsetOf({ lines }: Asked, position: Position): number {
  return lines.offsetAt(position);
}

/** Does a client that asks for some kinds of code actions take this one? Kinds are nested: `source` takes `source.fixAll`. */
export function wants({ only }: Pick<CodeActionContext, 'only'>, kind: string): boolean {
  return (
    only === undefined ||
    only.some((wanted) => wanted === CodeActionKind.Empty || kind === wanted || kind.startsWith(`${wanted}.`))
  );
}
