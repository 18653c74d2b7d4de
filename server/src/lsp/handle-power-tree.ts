import type { Location, TextDocumentIdentifier } from 'vscode-languageserver';
import { type PowerNode, powerTreeOf } from '../ide/power-tree.ts';
import type { ServerContext } from './context.ts';
import { type Asked, onFile } from './from-lsp.ts';

/** `festoon/power`: the supplies and runs of the plan that a file belongs to, ready to be shown as a tree. */
export interface PowerParams {
  readonly textDocument: TextDocumentIdentifier;
}

export interface PowerResult {
  /** The main file of the plan, and what the plan calls itself. */
  readonly plan: string;
  readonly title: string | undefined;
  readonly nodes: readonly PlacedNode[];
}

export interface PlacedNode extends Omit<PowerNode, 'at' | 'children'> {
  readonly place: Location | undefined;
  readonly children: readonly PlacedNode[];
}

export function handlePowerTree(ctx: ServerContext): void {
  ctx.connection.onRequest(
    'festoon/power',
    onFile<PowerParams, PowerResult | null>(ctx, 'festoon/power', null, (asked) => ({
      plan: asked.to.address(asked.analysis.uri),
      title: asked.analysis.plan.design.title,
      nodes: powerTreeOf(asked.analysis).map((node) => placed(asked, node)),
    })),
  );
}

function placed(asked: Asked, { at, children, ...node }: PowerNode): PlacedNode {
  return {
    ...node,
    place: at === undefined ? undefined : asked.to.location(asked.analysis, at),
    children: children.map((child) => placed(asked, child)),
  };
}
