import {
  type CodeAction,
  CodeActionKind,
  type CompletionItem,
  CompletionItemKind,
  type Diagnostic,
  DiagnosticSeverity,
  DiagnosticTag,
  type DocumentSymbol,
  type Hover,
  InsertTextFormat,
  type Location,
  type LocationLink,
  MarkupKind,
  type SignatureHelp,
  type SymbolInformation,
  SymbolKind,
  type TextEdit,
} from 'vscode-languageserver';
import type { SourceFile } from '#grammar/source.ts';
import type { Kind } from '#grammar/words/entry.ts';
import type { Analysis } from '../analysis/analysis.ts';
import type { Completion, Suggestion } from '../ide/completion/complete.ts';
import type { Destination } from '../ide/definition.ts';
import type { Remedy } from '../ide/fixes.ts';
import type { TextChange } from '../ide/format.ts';
import type { Hover as OurHover } from '../ide/hover.ts';
import { codeBlock, escapeMarkdown } from '../ide/markdown.ts';
import type { Problem } from '../ide/problems.ts';
import type { Signature } from '../ide/signature.ts';
import type { FoundSymbol, OutlineSymbol } from '../ide/symbols.ts';
import type { Level } from '../model/finding.ts';
import type { LineIndex } from './line-index.ts';
import type { Translator } from './translator.ts';

/** Our records as those of the protocol. */

export const SOURCE = 'festoon';

const SEVERITIES: Readonly<Record<Level, DiagnosticSeverity>> = {
  error: DiagnosticSeverity.Error,
  warning: DiagnosticSeverity.Warning,
  information: DiagnosticSeverity.Information,
};

export function toDiagnostic(to: Translator, analysis: Analysis, uri: string, problem: Problem): Diagnostic {
  const diagnostic: Diagnostic = {
    range: to.range(analysis, { uri, start: problem.start, end: problem.end }),
    severity: SEVERITIES[problem.level],
    code: problem.code,
    source: SOURCE,
    message: problem.message,
  };
  const href = to.explanation(problem.code);
  if (href !== undefined) diagnostic.codeDescription = { href };
  if (problem.unnecessary) diagnostic.tags = [DiagnosticTag.Unnecessary];
  if (to.traits.showsRelated && problem.related.length > 0) {
    diagnostic.relatedInformation = problem.related.map((place) => ({
      location: to.location(analysis, place),
      message: place.message,
    }));
  }
  return diagnostic;
}

export function toHover(to: Translator, analysis: Analysis, uri: string, { card, start, end }: OurHover): Hover {
  return { contents: to.markup(card, to.traits.showsMarkdown), range: to.range(analysis, { uri, start, end }) };
}

export function toQuickFix(to: Translator, analysis: Analysis, uri: string, remedy: Remedy): CodeAction {
  const action: CodeAction = {
    title: remedy.title,
    kind: CodeActionKind.QuickFix,
    diagnostics: [toDiagnostic(to, analysis, uri, remedy.problem)],
  };
  if (remedy.disabled !== undefined) action.disabled = { reason: remedy.disabled };
  else if (remedy.source === undefined) action.edit = to.workspaceEdit(analysis, remedy.edits);
  if (remedy.preferred) action.isPreferred = true;
  return action;
}

export function toDefinition(
  to: Translator,
  analysis: Analysis,
  uri: string,
  found: Destination,
): LocationLink[] | Location {
  if (!to.traits.takesLocationLinks) return to.location(analysis, found.name);
  return [
    {
      originSelectionRange: to.range(analysis, { uri, ...found.from }),
      targetUri: to.address(found.name.uri),
      targetRange: to.range(analysis, found.whole),
      targetSelectionRange: to.range(analysis, found.name),
    },
  ];
}

export function toTextEdits(to: Translator, file: SourceFile, changes: readonly TextChange[]): TextEdit[] {
  const lines = to.linesOf(file);
  return changes.map(({ start, end, text }) => ({ range: lines.rangeOf(start, end), newText: text }));
}

export function toSignatureHelp(to: Translator, { label, help, parameters, active }: Signature): SignatureHelp {
  return {
    signatures: [
      {
        label,
        documentation: help,
        parameters: parameters.map(({ start, end, help: documentation }) => ({
          label: to.traits.takesLabelOffsets ? [start, end] : label.slice(start, end),
          documentation,
        })),
      },
    ],
    activeSignature: 0,
    // Where nothing is due: beyond the last one many clients mark none, although the protocol has them mark the first.
    activeParameter: active ?? (to.traits.marksNoParameter ? null : parameters.length),
  };
}

/** What a completion item needs to be described later. */
export interface CompletionData {
  readonly uri: string;
  readonly kind: Kind;
  readonly name: string;
  /** Where it would be written, in offsets of the file. */
  readonly start: number;
}

export function toCompletion(
  to: Translator,
  analysis: Analysis,
  uri: string,
  { start, end, wordEnd, items }: Completion,
): CompletionItem[] {
  const range = to.range(analysis, { uri, start, end });
  const place = to.traits.insertsOrReplaces
    ? { insert: range, replace: to.range(analysis, { uri, start, end: wordEnd }) }
    : { range };
  return items.map((item, index) => {
    const snippet = to.traits.takesSnippets && item.snippet !== undefined;
    const result: CompletionItem = {
      label: item.label,
      kind: completionKind(item),
      detail: item.detail,
      sortText: String(index).padStart(5, '0'),
      filterText: item.label,
      textEdit: { ...place, newText: snippet ? (item.snippet ?? item.text) : item.text },
    };
    if (snippet) result.insertTextFormat = InsertTextFormat.Snippet;
    if (item.documentation !== undefined) result.documentation = documentation(to, item, item.documentation);
    if (item.kind !== undefined)
      result.data = { uri, kind: item.kind, name: item.text, start } satisfies CompletionData;
    return result;
  });
}

function documentation(to: Translator, item: Suggestion, text: string) {
  if (!to.traits.completesMarkdown) return { kind: MarkupKind.PlainText, value: text };
  return { kind: MarkupKind.Markdown, value: item.group === 'keyword' ? codeBlock(text) : escapeMarkdown(text) };
}

function completionKind({ group, kind }: Suggestion): CompletionItemKind {
  switch (group) {
    case 'keyword':
      return CompletionItemKind.Keyword;
    case 'phrase':
      return CompletionItemKind.Property;
    case 'unit':
      return CompletionItemKind.Unit;
    case 'choice':
      return CompletionItemKind.EnumMember;
    case 'value':
      return CompletionItemKind.Value;
    case 'file':
      return CompletionItemKind.File;
    case 'name':
      return kind === undefined ? CompletionItemKind.Variable : NAME_KINDS[kind];
  }
}

const NAME_KINDS: Readonly<Record<Kind, CompletionItemKind>> = {
  place: CompletionItemKind.Folder,
  pixel: CompletionItemKind.Class,
  panel: CompletionItemKind.Class,
  flood: CompletionItemKind.Class,
  cable: CompletionItemKind.Class,
  connector: CompletionItemKind.Class,
  'supply-part': CompletionItemKind.Class,
  'controller-part': CompletionItemKind.Class,
  'receiver-part': CompletionItemKind.Class,
  prop: CompletionItemKind.Class,
  circuit: CompletionItemKind.Module,
  supply: CompletionItemKind.Module,
  board: CompletionItemKind.Module,
  output: CompletionItemKind.Field,
  controller: CompletionItemKind.Module,
  port: CompletionItemKind.Field,
  run: CompletionItemKind.Variable,
  tap: CompletionItemKind.Reference,
  feed: CompletionItemKind.Variable,
  bond: CompletionItemKind.Variable,
};

export function toSymbolTree(lines: LineIndex, symbol: OutlineSymbol): DocumentSymbol {
  return {
    name: symbol.name,
    detail: symbol.detail,
    kind: symbolKind(symbol),
    range: lines.rangeOf(symbol.start, symbol.end),
    selectionRange: lines.rangeOf(symbol.nameStart, symbol.nameEnd),
    children: symbol.children.map((child) => toSymbolTree(lines, child)),
  };
}

/** For clients that know no trees: every symbol with the name of what it stands in. */
export function toFlatSymbols(
  to: Translator,
  file: SourceFile,
  symbol: OutlineSymbol,
  container?: string,
): SymbolInformation[] {
  const own = toSymbolInformation(to, file, { symbol, uri: file.uri, container });
  return [own, ...symbol.children.flatMap((child) => toFlatSymbols(to, file, child, symbol.name))];
}

export function toSymbolInformation(
  to: Translator,
  file: SourceFile,
  { symbol, uri, container }: FoundSymbol,
): SymbolInformation {
  const information: SymbolInformation = {
    name: symbol.name,
    kind: symbolKind(symbol),
    location: { uri: to.address(uri), range: to.linesOf(file).rangeOf(symbol.nameStart, symbol.nameEnd) },
  };
  if (container !== undefined) information.containerName = container;
  return information;
}

function symbolKind({ keyword }: OutlineSymbol): SymbolKind {
  if (keyword.startsWith('part ')) return SymbolKind.Class;
  return SYMBOL_KINDS.get(keyword) ?? SymbolKind.Property;
}

const SYMBOL_KINDS: ReadonlyMap<string, SymbolKind> = new Map([
  ['plan', SymbolKind.Package],
  ['use', SymbolKind.File],
  ['place', SymbolKind.Namespace],
  ['route', SymbolKind.Interface],
  ['circuit', SymbolKind.Module],
  ['mast', SymbolKind.Struct],
  ['supply', SymbolKind.Module],
  ['board', SymbolKind.Module],
  ['controller', SymbolKind.Module],
  ['receiver', SymbolKind.Module],
  ['link', SymbolKind.Event],
  ['prop', SymbolKind.Struct],
  ['run', SymbolKind.Object],
  ['flood', SymbolKind.Object],
  ['feed', SymbolKind.Event],
  ['bond', SymbolKind.Event],
  ['tap', SymbolKind.Event],
  ['output', SymbolKind.Field],
  ['outputs', SymbolKind.Field],
  ['string', SymbolKind.Array],
  ['outline', SymbolKind.Array],
  ['arch', SymbolKind.Array],
  ['star', SymbolKind.Array],
  ['ring', SymbolKind.Array],
  ['matrix', SymbolKind.Array],
  ['panels', SymbolKind.Array],
  ['tree', SymbolKind.Array],
  ['copies', SymbolKind.Array],
]);
