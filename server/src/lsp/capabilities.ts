import {
  CodeActionKind,
  FileOperationPatternKind,
  type ServerCapabilities,
  TextDocumentSyncKind,
} from 'vscode-languageserver';
import { SEMANTIC_TYPES } from '../ide/semantic-tokens.ts';
import type { ClientTraits } from './client-traits.ts';
import { commandsFor } from './handle-commands.ts';
import { CONTENT_SCHEMES } from './handle-contents.ts';

export const FIX_ALL = `${CodeActionKind.SourceFixAll}.festoon`;

/** Injection for the whole display. */
export const PLAN_ALL = `${CodeActionKind.Source}.plan.festoon`;

/** Plan files, and folders that may hold some. */
const RENAMED = [
  { pattern: { glob: '**/*.festoon', matches: FileOperationPatternKind.file } },
  { pattern: { glob: '**', matches: FileOperationPatternKind.folder } },
];

/** What the server offers to this client. */
export function capabilitiesFor(traits: ClientTraits): ServerCapabilities {
  return {
    positionEncoding: traits.encoding,
    textDocumentSync: { openClose: true, change: TextDocumentSyncKind.Incremental, save: false },
    ...(traits.pullsDiagnostics
      ? {
          diagnosticProvider: {
            identifier: 'festoon',
            interFileDependencies: true,
            workspaceDiagnostics: true,
            workDoneProgress: true,
          },
        }
      : {}),
    hoverProvider: true,
    completionProvider: { triggerCharacters: ['.', '[', '(', ' ', '"', '/'], resolveProvider: true },
    signatureHelpProvider: { triggerCharacters: [' '] },
    definitionProvider: true,
    typeDefinitionProvider: true,
    referencesProvider: true,
    documentHighlightProvider: true,
    renameProvider: traits.preparesRename ? { prepareProvider: true } : true,
    foldingRangeProvider: true,
    selectionRangeProvider: true,
    documentLinkProvider: { resolveProvider: false },
    semanticTokensProvider: {
      legend: { tokenTypes: [...SEMANTIC_TYPES], tokenModifiers: ['declaration'] },
      full: true,
      range: true,
    },
    inlayHintProvider: { resolveProvider: true },
    documentSymbolProvider: { label: 'Festoon' },
    workspaceSymbolProvider: { workDoneProgress: true },
    codeActionProvider: traits.takesCodeActionLiterals
      ? {
          codeActionKinds: [
            CodeActionKind.QuickFix,
            CodeActionKind.RefactorExtract,
            CodeActionKind.RefactorInline,
            CodeActionKind.RefactorRewrite,
            FIX_ALL,
            ...(traits.appliesEdits ? [PLAN_ALL] : []),
          ],
          workDoneProgress: true,
          ...(traits.resolvesActions ? { resolveProvider: true } : {}),
        }
      : false,
    documentFormattingProvider: true,
    documentRangeFormattingProvider: { rangesSupport: true },
    documentOnTypeFormattingProvider: { firstTriggerCharacter: '\n', moreTriggerCharacter: ['}'] },
    codeLensProvider: { resolveProvider: false },
    callHierarchyProvider: true,
    executeCommandProvider: { commands: commandsFor(traits), workDoneProgress: true },
    workspace: {
      textDocumentContent: { schemes: CONTENT_SCHEMES },
      ...(traits.hasFolders ? { workspaceFolders: { supported: true, changeNotifications: true } } : {}),
      ...(traits.renamesFiles ? { fileOperations: { willRename: { filters: RENAMED } } } : {}),
    },
  };
}
