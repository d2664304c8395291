// The language server: what a connection to a client is answered with.
import { isOperationCancelled, URI } from 'langium';
import { startLanguageServer } from 'langium/lsp';
import {
  type CancellationToken,
  CodeLensRefreshRequest,
  type Connection,
  DidChangeWatchedFilesNotification,
  LSPErrorCodes,
  type PublishDiagnosticsParams,
  ResponseError,
} from 'vscode-languageserver';
import { libraryFiles } from '../language/library/generated/library.ts';
import { usual } from '../language/likely.ts';
import { canonicalUri, type Refusal, type SourceFile } from '../language/project.ts';
import { type Start, starts } from '../language/starts.ts';
import { patternsOf } from '../language/whole-proposals.ts';
import { Background, type Progress } from './background.ts';
import { clientCan } from './client-can.ts';
import { ClientFiles } from './client-files.ts';
import { commissioning } from './features/commissioning.ts';
import type { AskedComparison, ComparisonAnswer, Revisions } from './features/compare.ts';
import { design } from './features/design.ts';
import { projectDiagnostics } from './features/diagnostics.ts';
import type { AskedExploration, ExplorationAnswer } from './features/exploring.ts';
import { inlineCompletions } from './features/inline-completion.ts';
import type { LastEdit } from './features/last-edit.ts';
import { notSaid } from './features/not-said.ts';
import { requirements } from './features/requirements.ts';
import { selectionRanges } from './features/selection-ranges.ts';
import type { AskedSheet, SheetAnswer } from './features/sheet.ts';
import { watchedFiles } from './reach.ts';
import { createServices, type GussetServices } from './services.ts';
import { readCheckUnopened, readInlineSettings } from './settings.ts';
import { ready } from './updates.ts';
import { Workspace } from './workspace.ts';

/** Values in other files are shown anew when the typing has paused for this long (ms). */
const refreshAfter = 150;

/** What is usual in machines is read after so long without an edit (ms). */
const untilUsual = 3000;

/** The machines to begin with. */
export interface StartsAnswer {
  readonly starts: readonly Start[];
}

/** A page to read: of a rule, or of what else goes by a name that a file sees; of the language where none is named. */
export interface AskedPage {
  readonly name?: string;
  readonly uri?: string;
}
export interface PageAnswer {
  /** Null where there is no such page. */
  readonly markdown: string | null;
}

/** What the server has of the machine that it runs on: little, where that is a browser. */
export interface Surroundings {
  today(): string;
  /** Reads what lies under `file:`, and knows the folder under version control around a file. */
  readonly disk?: {
    read(uri: string): string | Refusal | undefined;
    list(folder: string): readonly string[];
    rootOf(uri: string): string | undefined;
  };
  /** Writes the library's files for a client that opens nothing else; undefined where that failed. */
  libraryOnDisk?(): string | undefined;
  revisions?(): Promise<Revisions>;
  /** Ends the server with a client that is a process of this machine. */
  endWithClient?(client: number): void;
}

/** What a client says at the start that the protocol has no word for. */
interface Options {
  readonly openSheet?: unknown;
  readonly showPage?: unknown;
  readonly showPlaces?: unknown;
  /** Does it answer `gusset/readFile` and `gusset/listFolder`? */
  readonly readsFiles?: unknown;
}

/** What a client is asked for: a text, or the names in a folder, folders with a slash at their end; null for what is not there. */
export interface FileAnswer {
  readonly text: string | null;
}
export interface FolderAnswer {
  readonly names: readonly string[] | null;
}

/** Answers a client over a connection, until it hangs up. */
export function answer(connection: Connection, { disk, ...around }: Surroundings): void {
  const isOnDisk = (uri: string) => disk !== undefined && uri.startsWith('file:');
  const workspace: Workspace = new Workspace(
    (uri) => (isOnDisk(uri) ? disk?.read(uri) : workspace.clientFiles?.text(uri)),
    libraryFiles,
    (folder) => (isOnDisk(folder) ? disk?.list(folder) : workspace.clientFiles?.names(folder)) ?? [],
    around.today,
    disk?.rootOf,
  );
  const services = createServices(connection, workspace);
  /** Waits until a file is computed; who no longer wants to know is answered as the protocol has it. */
  const computed = async (uri: string, cancel: CancellationToken) => {
    try {
      await services.updates.waitUntil(ready, URI.parse(uri), cancel);
    } catch (error) {
      if (!isOperationCancelled(error)) throw error;
      throw new ResponseError(LSPErrorCodes.RequestCancelled, 'It is asked for no more.');
    }
  };
  connection.onRequest('gusset/page', async ({ name, uri }: AskedPage): Promise<PageAnswer> => {
    const { languagePageMarkdown, pageOf } = await import('./features/pages.ts');
    const file = uri === undefined ? undefined : workspace.file(canonicalUri(uri));
    return { markdown: (name === undefined ? languagePageMarkdown() : pageOf(name, file, workspace)) ?? null };
  });
  connection.onRequest('gusset/starts', (): StartsAnswer => ({ starts }));
  connection.onRequest('gusset/sheet', async (asked: AskedSheet, cancel): Promise<SheetAnswer | null> => {
    // What draws is only loaded where somebody looks.
    const { answerOf, findsResting, meantBy, written } = await import('./features/sheet.ts');
    const { updates } = services;
    while (!cancel.isCancellationRequested) {
      await updates.untilTold(cancel);
      await updates.waitUntil(ready, URI.parse(asked.uri), cancel);
      const file = workspace.file(canonicalUri(asked.uri));
      if (!file) return null;
      await updates.untilSolved(file.uri, cancel);
      const { changes } = updates;
      const machine = meantBy(asked, file, workspace.project.machines(file));
      if (!machine) return null;
      const resting = asked.resting ? findsResting(machine, file, changes, workspace) : undefined;
      if (resting && !(await updates.inSteps(resting.work, resting.project, cancel))) continue;
      const found = await updates.inSteps(written(machine, file, changes, workspace), workspace.project, cancel);
      if (found) return answerOf(found.done, asked);
    }
    return null;
  });
  connection.onRequest<ComparisonAnswer | null, void>('gusset/compare', async (asked: AskedComparison, cancel) => {
    await computed(asked.uri, cancel);
    const file = workspace.file(canonicalUri(asked.uri));
    if (!file) return null;
    await services.updates.untilSolved(file.uri, cancel);
    const { comparison } = await import('./features/compare.ts');
    const revisions = asked.other?.revision === undefined ? undefined : await around.revisions?.();
    return comparison(file, asked, workspace, revisions, services.lastEdits.textBefore(file.uri));
  });
  connection.onRequest<ExplorationAnswer | null, void>('gusset/explore', async (asked: AskedExploration, cancel) => {
    await computed(asked.uri, cancel);
    const file = workspace.file(canonicalUri(asked.uri));
    if (!file) return null;
    await services.updates.untilSolved(file.uri, cancel);
    const { exploration } = await import('./features/exploring.ts');
    return exploration(file, asked, workspace);
  });
  connection.onRequest<LastEdit | null, void>('gusset/lastEdit', async ({ uri }: { uri: string }, cancel) => {
    await computed(uri, cancel);
    const file = workspace.file(canonicalUri(uri));
    if (!file) return null;
    await services.updates.untilSolved(file.uri, cancel);
    return services.lastEdits.of(file, workspace);
  });
  connection.onSelectionRanges(async ({ textDocument: { uri }, positions }, cancel) => {
    await computed(uri, cancel);
    const file = workspace.file(canonicalUri(uri));
    return file ? selectionRanges(file, positions) : [];
  });
  connection.languages.diagnostics.on(async ({ textDocument: { uri }, previousResultId }, cancel) => {
    await computed(uri, cancel);
    services.updates.tellNow(canonicalUri(uri));
    return services.told.ofFile(uri, previousResultId);
  });
  connection.languages.diagnostics.onWorkspace(({ previousResultIds }, cancel) =>
    services.told.ofAll(previousResultIds, cancel),
  );
  connection.languages.inlineCompletion.on(async ({ textDocument: { uri }, position }, cancel) => {
    await computed(uri, cancel);
    const file = workspace.file(canonicalUri(uri));
    return file ? inlineCompletions(file, position, workspace) : [];
  });
  const ofMachines = <T>(name: string, feature: (file: SourceFile, workspace: Workspace) => T[]) =>
    connection.onRequest(`gusset/${name}`, async ({ uri }: { uri: string }, cancel) => {
      await computed(uri, cancel);
      const file = workspace.file(canonicalUri(uri));
      if (file) await services.updates.untilSolved(file.uri, cancel);
      return { machines: file ? feature(file, workspace) : [] };
    });
  ofMachines('notSaid', notSaid);
  ofMachines('commissioning', commissioning);
  ofMachines('requirements', requirements);
  ofMachines('design', design);
  services.shared.lsp.LanguageServer.onInitialize((params) => {
    const { workspaceFolders, rootUri, processId, initializationOptions, capabilities } = params;
    workspace.client = clientCan(capabilities);
    services.told.isAsked = workspace.client.askForFindings;
    const { libraryOnDisk } = around;
    if (!workspace.client.askForTexts && libraryOnDisk) workspace.libraryFolder = once(libraryOnDisk);
    const { openSheet, showPage, showPlaces, readsFiles } = (initializationOptions ?? {}) as Options;
    if (typeof openSheet === 'string') workspace.openSheet = openSheet;
    if (typeof showPage === 'string') workspace.showPage = showPage;
    if (typeof showPlaces === 'string') workspace.showPlaces = showPlaces;
    if (readsFiles === true) workspace.clientFiles = filesOf(connection, services, () => background.foldersChanged());
    if (processId !== null) around.endWithClient?.(processId);
    workspace.folders = workspaceFolders?.map((folder) => folder.uri) ?? (rootUri ? [rootUri] : []);
  });
  const publish = (told: PublishDiagnosticsParams) => services.told.tell(told);
  const untilIdle = () => services.updates.untilIdle();
  const ofProject = new ProjectFilesTold(workspace, publish);
  const background = new Background({
    workspace,
    untilIdle,
    publish: (told) => {
      publish(told);
      ofProject.tell();
    },
    begin: () => beginProgress(connection),
  });
  services.updates.onTakenIn = (uris) => {
    background.changed(uris);
    void untilIdle().then(() => ofProject.tell());
  };
  // Read once, before it is first asked for, when nobody has typed for long.
  let reading: ReturnType<typeof setTimeout> | undefined;
  services.updates.onIdle = () => {
    clearTimeout(reading);
    reading = setTimeout(() => {
      usual(workspace.project);
      patternsOf(workspace.project.library);
    }, untilUsual);
  };
  followSettings(connection, services, (isOn) => background.begin(isOn));
  followFolders(connection, services, workspace, background);
  watchFiles(connection, services);
  startLanguageServer(services.shared);
}

/** What is wrong in project files, told where it has changed. */
class ProjectFilesTold {
  readonly #workspace: Workspace;
  readonly #publish: (told: PublishDiagnosticsParams) => void;
  readonly #told = new Map<string, string>();

  constructor(workspace: Workspace, publish: (told: PublishDiagnosticsParams) => void) {
    this.#workspace = workspace;
    this.#publish = publish;
  }

  tell(): void {
    const { projectFiles } = this.#workspace;
    const now = new Map(projectFiles.all().map((file) => [file.uri, projectDiagnostics(file)] as const));
    for (const uri of new Set([...this.#told.keys(), ...now.keys()])) {
      const diagnostics = now.get(uri) ?? [];
      const told = JSON.stringify(diagnostics);
      if ((this.#told.get(uri) ?? '[]') === told) continue;
      this.#told.set(uri, told);
      this.#publish({ uri, diagnostics });
    }
  }
}

/** Files that the client reads for the server. */
function filesOf(connection: Connection, { updates }: GussetServices, onNames: () => void): ClientFiles {
  const files = new ClientFiles({
    text: async (uri) => (await connection.sendRequest<FileAnswer>('gusset/readFile', { uri })).text,
    names: async (uri) => (await connection.sendRequest<FolderAnswer>('gusset/listFolder', { uri })).names,
  });
  files.onText = (uri) => updates.filesChanged([uri]);
  files.onNames = onNames;
  return files;
}

/** Shows in the client how many files have been checked, where it can show that. */
async function beginProgress(connection: Connection): Promise<Progress> {
  const shown = await connection.window.createWorkDoneProgress();
  shown.begin('Gusset', 0, 'checks the files of this folder', true);
  return {
    report: (done, of) => shown.report(Math.round((100 * done) / of), `${done + 1} of ${of} files`),
    done: () => shown.done(),
    token: shown.token,
  };
}

/** Folders that are added to the client's work later, or taken from it. */
function followFolders(
  connection: Connection,
  { shared }: GussetServices,
  workspace: Workspace,
  background: Background,
): void {
  let tells = false;
  shared.lsp.LanguageServer.onInitialize(({ capabilities }) => {
    tells = capabilities.workspace?.workspaceFolders ?? false;
  });
  shared.lsp.LanguageServer.onInitialized(() => {
    if (!tells) return;
    connection.workspace.onDidChangeWorkspaceFolders(({ added, removed }) => {
      const gone = new Set(removed.map(({ uri }) => uri));
      workspace.folders = [...workspace.folders.filter((uri) => !gone.has(uri)), ...added.map(({ uri }) => uri)];
      background.foldersChanged();
    });
  });
}

function once<T>(make: () => T): () => T {
  let made: T | undefined;
  return () => (made ??= make());
}

/** Asks the client to tell of files that are changed by something else than itself, where it takes such requests. */
function watchFiles(connection: Connection, { shared }: GussetServices): void {
  let canWatch = false;
  shared.lsp.LanguageServer.onInitialize(({ capabilities }) => {
    canWatch = capabilities.workspace?.didChangeWatchedFiles?.dynamicRegistration ?? false;
  });
  shared.lsp.LanguageServer.onInitialized(() => {
    const watchers = watchedFiles.map((globPattern) => ({ globPattern }));
    if (canWatch) connection.client.register(DidChangeWatchedFilesNotification.type, { watchers }).catch(() => {});
  });
}

/** Reads the client's settings at the start and when they change, and has the values in the lines shown anew. */
function followSettings(
  connection: Connection,
  services: GussetServices,
  onCheckUnopened: (isOn: boolean) => void,
): void {
  const language = services.shared.lsp.LanguageServer;
  let canConfigure = false;
  const refreshes: (() => Promise<unknown>)[] = [];
  let waiting: ReturnType<typeof setTimeout> | undefined;
  const refresh = () => {
    clearTimeout(waiting);
    waiting = setTimeout(() => refreshes.forEach((ask) => void ask().catch(() => {})), refreshAfter);
  };
  const read = async () => {
    const sections = ['gusset.inlineValues', 'gusset.checkUnopenedFiles'].map((section) => ({ section }));
    const [inline, checkUnopened] = canConfigure ? await connection.workspace.getConfiguration(sections) : [];
    services.settings = readInlineSettings(inline);
    onCheckUnopened(readCheckUnopened(checkUnopened));
    refresh();
  };
  language.onInitialize(({ capabilities }) => {
    canConfigure = capabilities.workspace?.configuration ?? false;
    const { inlayHint, codeLens } = capabilities.workspace ?? {};
    if (inlayHint?.refreshSupport) refreshes.push(() => connection.languages.inlayHint.refresh());
    if (codeLens?.refreshSupport) refreshes.push(() => connection.sendRequest(CodeLensRefreshRequest.type));
  });
  language.onInitialized(() => void read().catch(() => {}));
  services.shared.workspace.ConfigurationProvider.onConfigurationSectionUpdate(() => void read().catch(() => {}));
  services.updates.onOthersChanged = refresh;
}
