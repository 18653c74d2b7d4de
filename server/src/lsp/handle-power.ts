import {
  type CallHierarchyIncomingCall,
  type CallHierarchyIncomingCallsParams,
  type CallHierarchyItem,
  type CallHierarchyOutgoingCall,
  type CallHierarchyOutgoingCallsParams,
  type CallHierarchyPrepareParams,
  type CodeLens,
  type CodeLensParams,
  ErrorCodes,
  ResponseError,
  SymbolKind,
} from 'vscode-languageserver';
import type { Analysis } from '../analysis/analysis.ts';
import { type PowerItem, type PowerLink, powerItemAt, suppliedBy, suppliersOf } from '../ide/feed-hierarchy.ts';
import { type Lens, lensesOf } from '../ide/lenses.ts';
import type { ServerContext } from './context.ts';
import { type Asked, offsetOf, onFile } from './from-lsp.ts';
import type { Settings } from './settings.ts';
import type { Translator } from './translator.ts';

/** How things hang together: lenses above declarations, and the way of the power as the protocol's call hierarchy. */
export function handlePower(ctx: ServerContext, settings: Settings): void {
  const { connection, guard } = ctx;
  connection.onCodeLens(
    onFile<CodeLensParams, CodeLens[]>(ctx, 'textDocument/codeLens', [], async (asked) =>
      (await settings.lenses()) ? lensesOf(asked.analysis, asked.key).map((lens) => toLens(asked, lens)) : [],
    ),
  );
  connection.languages.callHierarchy.onPrepare(
    onFile<CallHierarchyPrepareParams, CallHierarchyItem[] | null>(
      ctx,
      'textDocument/prepareCallHierarchy',
      null,
      (asked, { position }) => {
        const item = powerItemAt(asked.analysis, asked.key, offsetOf(asked, position));
        return item === undefined ? null : [toItem(asked.to, asked.analysis, item)];
      },
    ),
  );
  connection.languages.callHierarchy.onIncomingCalls(
    guard.request<CallHierarchyIncomingCallsParams, CallHierarchyIncomingCall[]>(
      'callHierarchy/incomingCalls',
      [],
      async ({ item }) =>
        (await linksOf(ctx, item, suppliersOf)).map(({ item: from, ranges }) => ({
          from,
          fromRanges: ranges(from.uri),
        })),
    ),
  );
  connection.languages.callHierarchy.onOutgoingCalls(
    guard.request<CallHierarchyOutgoingCallsParams, CallHierarchyOutgoingCall[]>(
      'callHierarchy/outgoingCalls',
      [],
      async ({ item }) =>
        (await linksOf(ctx, item, suppliedBy)).map(({ item: to, ranges }) => ({ to, fromRanges: ranges(item.uri) })),
    ),
  );
}

/** Which command shows places, in clients that say that they have it. */
export const SHOW_PLACES = 'festoon.showPlaces';

function toLens({ to, analysis, lines, key }: Asked, { start, end, title, places }: Lens): CodeLens {
  const range = lines.rangeOf(start, end);
  const leads = places.length > 0 && to.traits.commands.has(SHOW_PLACES);
  const found = places.map((place) => to.location(analysis, place));
  return {
    range,
    command: leads
      ? { title, command: SHOW_PLACES, arguments: [to.address(key), range.start, found] }
      : { title, command: '' },
  };
}

interface ItemData {
  readonly plan: string;
  readonly kind: string;
  readonly name: string;
}

const KINDS: Readonly<Record<PowerItem['kind'], SymbolKind>> = {
  circuit: SymbolKind.Module,
  supply: SymbolKind.Module,
  controller: SymbolKind.Module,
  feed: SymbolKind.Event,
  run: SymbolKind.Object,
};

function toItem(to: Translator, analysis: Analysis, { kind, name, detail, at, whole }: PowerItem): CallHierarchyItem {
  return {
    name,
    kind: KINDS[kind],
    detail,
    uri: to.address(at.uri),
    range: to.range(analysis, whole),
    selectionRange: to.range(analysis, at),
    data: { plan: analysis.uri, kind, name } satisfies ItemData,
  };
}

/** The data comes back from the client, which may have kept it for long or made it up. */
function isItemData(data: unknown): data is ItemData {
  if (typeof data !== 'object' || data === null) return false;
  const { plan, kind, name } = data as Partial<Record<keyof ItemData, unknown>>;
  return typeof plan === 'string' && typeof kind === 'string' && typeof name === 'string';
}

async function linksOf(
  ctx: ServerContext,
  { data }: CallHierarchyItem,
  links: (analysis: Analysis, kind: string, name: string) => PowerLink[],
) {
  if (!isItemData(data)) throw new ResponseError(ErrorCodes.InvalidParams, 'the item is not one of this server');
  const { plan, kind, name } = data;
  const analysis = await ctx.plans.analysisFor(plan);
  return links(analysis, kind, name).map(({ item, places }) => ({
    item: toItem(ctx.to, analysis, item),
    // The protocol wants places of the file that holds the upper of the two.
    ranges: (uri: string) =>
      places.filter((place) => ctx.to.address(place.uri) === uri).map((place) => ctx.to.range(analysis, place)),
  }));
}
