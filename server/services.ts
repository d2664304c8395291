// The one place where features are wired: Langium's services, with the project behind them.
import {
  EmptyFileSystem,
  inject,
  type LangiumDocument,
  type LangiumDocuments,
  type Module,
  stream,
  URI,
} from 'langium';
import {
  createDefaultModule,
  createDefaultSharedModule,
  DefaultLanguageServer,
  type LangiumServices,
  type LangiumSharedServices,
  type PartialLangiumServices,
  type PartialLangiumSharedServices,
} from 'langium/lsp';
import type {
  CallHierarchyItem,
  CancellationToken,
  CodeActionTriggerKind,
  Connection,
  DocumentSymbol,
  InitializedParams,
  InitializeParams,
  InitializeResult,
  LocationLink,
  Range,
  SemanticTokens,
} from 'vscode-languageserver';
import { TextDocument } from 'vscode-languageserver-textdocument';
import { GussetGeneratedModule, GussetGeneratedSharedModule } from '../language/grammar/generated/module.ts';
import { canonicalUri, libraryScheme, type SourceFile } from '../language/project.ts';
import { clientCan } from './client-can.ts';
import { aroundKind, aroundNumber } from './features/around.ts';
import { codeLenses } from './features/code-lens.ts';
import { completion, completionOptions, standsAtQuestion } from './features/completion.ts';
import { definition } from './features/definition.ts';
import { dependents, dependsOn, fileOfItem, valueAt } from './features/dependence.ts';
import { fixAll, fixAllKind } from './features/fix-all.ts';
import { foldingRanges } from './features/folding.ts';
import { formatEdits, formatOnTypeOptions, formatRangeEdits, formatTypedEdits } from './features/formatting.ts';
import { hover } from './features/hover.ts';
import { inlayHints } from './features/inlay-hints.ts';
import { LastEdits } from './features/last-edit.ts';
import { documentLinks } from './features/links.ts';
import { quickFixes } from './features/quick-fixes.ts';
import { refactoringKinds, refactorings } from './features/refactorings.ts';
import { highlights, references } from './features/references.ts';
import { prepareRename, rename } from './features/rename.ts';
import { renameFiles } from './features/rename-files.ts';
import { SentTokens, semanticTokens, semanticTokensOptions } from './features/semantic-tokens.ts';
import { signatureHelp, signatureHelpOptions } from './features/signature-help.ts';
import { documentSymbols, flatSymbols, workspaceSymbols } from './features/symbols.ts';
import { startsAt, subtypes, supertypes } from './features/type-hierarchy.ts';
import { type InlineSettings, readInlineSettings } from './settings.ts';
import { Told } from './told.ts';
import { ready, Updates } from './updates.ts';
import type { Workspace } from './workspace.ts';

export interface GussetServices {
  readonly shared: LangiumSharedServices;
  readonly updates: Updates;
  readonly sentTokens: SentTokens;
  readonly told: Told;
  readonly lastEdits: LastEdits;
  /** Which values to show in the lines. */
  settings: InlineSettings;
}

const quickFix = 'quickfix';
/** What an editor gives as the reason where it asks for changes by itself. */
const byItself: CodeActionTriggerKind = 2;
/** Files are told of that nobody has open, and what is found in one can rest on another. */
const diagnosticProvider = { identifier: 'gusset', interFileDependencies: true, workspaceDiagnostics: true };
/** Renaming these can change what a `use` has to say: files of the language, and folders, in which some may lie. */
const renamedFiles = [
  { pattern: { glob: '**/*.gusset', matches: 'file' as const } },
  { pattern: { glob: '**', matches: 'folder' as const } },
];

/** Kinds of code actions are named in levels: `refactor.extract` is within `refactor`, and everything within the empty one. */
function isWithin(kind: string, wanted: string): boolean {
  return wanted === '' || kind === wanted || kind.startsWith(`${wanted}.`);
}

/** All services of a server that talks over a connection. */
export function createServices(connection: Connection, workspace: Workspace): GussetServices {
  const services = {
    settings: readInlineSettings(undefined),
    sentTokens: new SentTokens(),
    told: new Told(connection),
    lastEdits: new LastEdits(),
  } as {
    -readonly [K in keyof GussetServices]: GussetServices[K];
  };
  const shared = inject(
    createDefaultSharedModule({ connection, ...EmptyFileSystem }),
    GussetGeneratedSharedModule,
    sharedModule(workspace, services),
  );
  services.shared = shared;
  services.updates = shared.workspace.DocumentBuilder as Updates;
  const language = inject(createDefaultModule({ shared }), GussetGeneratedModule, languageModule(workspace, services));
  shared.ServiceRegistry.register(language);
  return services;
}

function sharedModule(
  workspace: Workspace,
  services: GussetServices,
): Module<LangiumSharedServices, PartialLangiumSharedServices> {
  return {
    lsp: {
      LanguageServer: (shared) => new Server(shared),
      WorkspaceSymbolProvider: () => ({ getSymbols: async ({ query }) => workspaceSymbols(query, workspace) }),
      TextDocumentContentProvider: () => ({
        schemes: [libraryScheme.slice(0, -1)],
        provideTextDocumentContent: async ({ uri }) => {
          const text = workspace.libraryText(canonicalUri(uri));
          return text === undefined ? undefined : { text };
        },
      }),
      FileOperationHandler: () => ({
        fileOperationOptions: { willRename: { filters: renamedFiles } },
        willRenameFiles: async ({ files }) => {
          await services.updates.waitUntil(ready);
          return renameFiles(files, workspace);
        },
      }),
      DocumentUpdateHandler: () => ({
        didChangeContent: (change) => services.updates.textChanged(change),
        didCloseDocument: (change) => {
          services.sentTokens.forget(canonicalUri(change.document.uri));
          services.lastEdits.forget(canonicalUri(change.document.uri));
          services.updates.textClosed(change);
        },
        didChangeWatchedFiles: ({ changes }) => {
          for (const { uri } of changes) workspace.clientFiles?.changed(canonicalUri(uri));
          services.updates.filesChanged(changes.map((change) => change.uri));
        },
        onWatchedFilesChange: () => ({ dispose() {} }),
      }),
    },
    workspace: {
      DocumentBuilder: (shared) => new Updates(shared, workspace, services.told),
      LangiumDocuments: (shared) => new Documents(shared, workspace) as unknown as LangiumDocuments,
      WorkspaceManager: () => ({ ready: Promise.resolve(), initialize() {}, async initialized() {} }) as never,
    },
  };
}

function languageModule(
  workspace: Workspace,
  services: GussetServices,
): Module<LangiumServices, PartialLangiumServices> {
  /** A feature is a function of a file and what is asked; this hands it the file of Langium's document. */
  const ofFile =
    <P, R>(feature: (file: SourceFile, params: P) => R) =>
    async (document: LangiumDocument, params: P): Promise<R | undefined> => {
      const uri = canonicalUri(document.uri.toString());
      const answer = () => {
        const file = workspace.file(uri);
        return file && feature(file, params);
      };
      let answered = answer();
      // What reads files that nobody has opened may have met some that the client still sends.
      while (workspace.coming) {
        await workspace.coming;
        answered = answer();
      }
      return answered;
    };
  /** The same for features that tell of open choices: these are solved first. */
  const ofSolved =
    <P, R>(feature: (file: SourceFile, params: P) => R) =>
    async (document: LangiumDocument, params: P, cancel?: CancellationToken): Promise<R | undefined> => {
      await services.updates.untilSolved(canonicalUri(document.uri.toString()), cancel);
      return ofFile(feature)(document, params);
    };
  /** The same for features that find any number of things. */
  const all =
    <P, T>(feature: (file: SourceFile, params: P) => T[]) =>
    async (document: LangiumDocument, params: P): Promise<T[]> =>
      (await ofFile(feature)(document, params)) ?? [];
  /** What is asked of a value that a client was told of: once the choices of its file are solved. */
  const ofItem = async <T>(
    item: CallHierarchyItem,
    cancel: CancellationToken | undefined,
    feature: (item: CallHierarchyItem, workspace: Workspace) => T[],
  ): Promise<T[]> => {
    const uri = fileOfItem(item);
    if (uri === undefined) return [];
    await services.updates.waitUntil(ready, URI.parse(uri), cancel);
    await services.updates.untilSolved(uri, cancel);
    return feature(item, workspace);
  };
  const coloured = async (document: LangiumDocument, range?: Range): Promise<SemanticTokens> =>
    (await ofFile((file) => semanticTokens(file, range, workspace))(document, undefined)) ?? { data: [] };
  return {
    lsp: {
      CodeActionProvider: () => ({
        getCodeActions: ofSolved((file, { range, context }) => {
          const wanted = context.only ?? [quickFix, 'refactor'];
          const asked = context.triggerKind !== byItself;
          const wants = (kind: string) => wanted.some((each) => isWithin(kind, each));
          // Many numbers are tried for it: it is for who asks for just this.
          if (context.only?.includes(aroundKind)) return aroundNumber(file, range, workspace);
          return [
            ...(wants(quickFix) ? quickFixes(file, range, workspace, asked) : []),
            ...(wants(fixAllKind) ? fixAll(file, workspace) : []),
            // Whoever looks for a way out is to see those that mend first.
            ...(refactoringKinds.some(wants)
              ? refactorings(file, range, workspace, asked).filter(({ kind = '' }) => wants(kind))
              : []),
          ];
        }),
      }),
      CompletionProvider: () => ({
        completionOptions,
        // Only what is proposed in place of a question waits for the answer.
        getCompletion: async (document, params, cancel) => {
          const file = workspace.file(keyOf(document));
          const feature = (of: SourceFile) => completion(of, params.position, workspace);
          return file && standsAtQuestion(file, params.position)
            ? ofSolved(feature)(document, params, cancel)
            : ofFile(feature)(document, params);
        },
      }),
      CallHierarchyProvider: () => ({
        prepareCallHierarchy: ofSolved((file, { position }) => valueAt(file, position, workspace)),
        outgoingCalls: ({ item }, cancel) => ofItem(item, cancel, dependsOn),
        incomingCalls: ({ item }, cancel) => ofItem(item, cancel, dependents),
      }),
      CodeLensProvider: () => ({ provideCodeLens: ofSolved((file) => codeLenses(file, workspace)) }),
      DefinitionProvider: () => ({
        // Langium only knows of links, where a client may take nothing but locations.
        getDefinition: ofFile((file, { position }) => definition(file, position, workspace) as LocationLink[]),
      }),
      DocumentHighlightProvider: () => ({
        getDocumentHighlight: ofFile((file, { position }) => highlights(file, position)),
      }),
      DocumentLinkProvider: () => ({ getDocumentLinks: all(documentLinks) }),
      DocumentSymbolProvider: () => ({
        // Langium only knows of levels, where a client may take nothing but a list.
        getSymbols: all((file) =>
          workspace.client.nestSymbols ? documentSymbols(file) : (flatSymbols(file) as unknown as DocumentSymbol[]),
        ),
      }),
      FoldingRangeProvider: () => ({ getFoldingRanges: all(foldingRanges) }),
      Formatter: () => ({
        formatDocument: all(formatEdits),
        formatDocumentRange: all((file, { range }) => formatRangeEdits(file, range)),
        formatDocumentOnType: all((file, { position, ch }) => formatTypedEdits(file, position, ch)),
        formatOnTypeOptions,
      }),
      HoverProvider: () => ({ getHoverContent: ofSolved((file, { position }) => hover(file, position, workspace)) }),
      InlayHintProvider: () => ({
        getInlayHints: ofSolved((file, { range }) =>
          inlayHints(file, { from: range.start.line, to: range.end.line }, services.settings, workspace),
        ),
      }),
      ReferencesProvider: () => ({
        findReferences: all((file, { position, context }) =>
          references(file, position, context.includeDeclaration, workspace),
        ),
      }),
      RenameProvider: () => ({
        prepareRename: ofFile((file, { position }) => prepareRename(file, position, workspace)),
        rename: ofFile((file, { position, newName }) => rename(file, position, newName, workspace)),
      }),
      SignatureHelp: () => ({
        signatureHelpOptions,
        provideSignatureHelp: ofFile((file, { position }) => signatureHelp(file, position)),
      }),
      TypeHierarchyProvider: () => ({
        prepareTypeHierarchy: ofFile((file, { position }) => startsAt(file, position, workspace)),
        supertypes: ({ item }) => supertypes(item, workspace),
        subtypes: ({ item }) => subtypes(item, workspace),
      }),
      SemanticTokenProvider: () => ({
        semanticTokensOptions,
        tokenTypes: {},
        tokenModifiers: {},
        semanticHighlight: async (document) => services.sentTokens.whole(keyOf(document), await coloured(document)),
        semanticHighlightRange: (document, { range }) => coloured(document, range),
        semanticHighlightDelta: async (document, { previousResultId }) =>
          services.sentTokens.since(previousResultId, keyOf(document), await coloured(document)),
      }),
    },
  };
}

function keyOf({ uri }: LangiumDocument): string {
  return canonicalUri(uri.toString());
}

/** Langium's documents as thin views of the project's files. */
class Documents {
  readonly #shared: LangiumSharedServices;
  readonly #workspace: Workspace;
  constructor(shared: LangiumSharedServices, workspace: Workspace) {
    this.#shared = shared;
    this.#workspace = workspace;
  }
  get all() {
    return stream<LangiumDocument>([]);
  }
  async getOrCreateDocument(uri: URI): Promise<LangiumDocument> {
    const file = this.#workspace.file(canonicalUri(uri.toString()));
    const textDocument =
      this.#shared.workspace.TextDocuments.get(uri) ??
      TextDocument.create(uri.toString(), 'gusset', 0, file?.parsed.text ?? '');
    const value = (file?.parsed.file ?? { $type: 'SpecFile', items: [] }) as never;
    return {
      uri,
      textDocument,
      state: ready,
      references: [],
      parseResult: { value, parserErrors: [], lexerErrors: [] },
    };
  }
}

class Server extends DefaultLanguageServer {
  /** Only what answers requests is made at the start; the parser that Langium would build from the grammar never is. */
  protected override eagerLoadServices(): void {
    void this.services.lsp.DocumentUpdateHandler;
  }

  #takesRegistrations = false;

  override initialize(params: InitializeParams): Promise<InitializeResult> {
    this.#takesRegistrations = params.capabilities.workspace?.didChangeConfiguration?.dynamicRegistration ?? false;
    return super.initialize(params);
  }

  /** Langium asks each client to report changes of its settings. A client that takes no such request reports them without being asked. */
  protected override fireInitializedOnDefaultServices(params: InitializedParams): void {
    if (this.#takesRegistrations) super.fireInitializedOnDefaultServices(params);
    else void this.services.workspace.ConfigurationProvider.initialized(params);
  }

  protected override buildInitializeResult(params: InitializeParams): InitializeResult {
    const result = super.buildInitializeResult(params);
    return {
      ...result,
      capabilities: {
        ...result.capabilities,
        codeActionProvider: { codeActionKinds: [quickFix, fixAllKind, ...refactoringKinds, aroundKind] },
        semanticTokensProvider: semanticTokensOptions,
        selectionRangeProvider: true,
        inlineCompletionProvider: true,
        ...(clientCan(params.capabilities).askForFindings && { diagnosticProvider }),
        workspace: {
          ...result.capabilities.workspace,
          workspaceFolders: { supported: true, changeNotifications: true },
        },
      },
      serverInfo: { name: 'gusset' },
    };
  }
}
