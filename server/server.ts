// The language server: what a connection to a client is answered with.
import { readdirSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { URI } from 'langium';
import { startLanguageServer } from 'langium/lsp';
import {
  CodeLensRefreshRequest,
  type Connection,
  createConnection,
  DidChangeWatchedFilesNotification,
  ProposedFeatures,
} from 'vscode-languageserver/node';
import { libraryFiles } from '../language/library/generated/library.ts';
import { languagePage } from '../language/library/generated/manual.ts';
import { canonicalUri, type SourceFile } from '../language/project.ts';
import { type Start, starts } from '../language/starts.ts';
import { Background, type Progress } from './background.ts';
import { clientCan } from './client-can.ts';
import { readUsed, today } from './disk.ts';
import { commissioning } from './features/commissioning.ts';
import type { AskedComparison, ComparisonAnswer } from './features/compare.ts';
import { design } from './features/design.ts';
import { notSaid } from './features/not-said.ts';
import { requirements } from './features/requirements.ts';
import { selectionRanges } from './features/selection-ranges.ts';
import type { AskedSheet } from './features/sheet.ts';
import { libraryOnDisk } from './library-on-disk.ts';
import { createServices, type GussetServices } from './services.ts';
import { readCheckUnopened, readInlineSettings } from './settings.ts';
import { ready } from './updates.ts';
import { endWithClient } from './watchdog.ts';
import { Workspace } from './workspace.ts';

/** Values in other files are shown anew when the typing has paused for this long (ms). */
const refreshAfter = 150;

/** The machines to begin with. */
export interface StartsAnswer {
  readonly starts: readonly Start[];
}

/** Answers a client over a connection, until it hangs up. */
export function serve(connection: Connection = createConnection(ProposedFeatures.all)): void {
  const workspace = new Workspace(readUsed, libraryFiles, listFolder, today);
  const services = createServices(connection, workspace);
  connection.onRequest('gusset/languagePage', () => ({ markdown: languagePage }));
  connection.onRequest('gusset/starts', (): StartsAnswer => ({ starts }));
  connection.onRequest('gusset/sheet', async (asked: AskedSheet, cancel) => {
    await services.updates.waitUntil(ready, URI.parse(asked.uri), cancel);
    const file = workspace.file(canonicalUri(asked.uri));
    if (!file) return null;
    await services.updates.untilSolved(file.uri, cancel);
    // What draws is only loaded where somebody looks.
    const { sheet } = await import('./features/sheet.ts');
    return sheet(file, asked, workspace);
  });
  connection.onRequest<ComparisonAnswer | null, void>('gusset/compare', async (asked: AskedComparison, cancel) => {
    await services.updates.waitUntil(ready, URI.parse(asked.uri), cancel);
    const file = workspace.file(canonicalUri(asked.uri));
    if (!file) return null;
    await services.updates.untilSolved(file.uri, cancel);
    const { comparison } = await import('./features/compare.ts');
    return comparison(file, asked, workspace);
  });
  connection.onSelectionRanges(async ({ textDocument: { uri }, positions }, cancel) => {
    await services.updates.waitUntil(ready, URI.parse(uri), cancel);
    const file = workspace.file(canonicalUri(uri));
    return file ? selectionRanges(file, positions) : [];
  });
  const ofMachines = <T>(name: string, feature: (file: SourceFile, workspace: Workspace) => T[]) =>
    connection.onRequest(`gusset/${name}`, async ({ uri }: { uri: string }, cancel) => {
      await services.updates.waitUntil(ready, URI.parse(uri), cancel);
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
    if (!workspace.client.askForTexts) workspace.libraryFolder = once(() => libraryOnDisk(libraryFiles));
    const { openSheet } = (initializationOptions ?? {}) as { openSheet?: unknown };
    if (typeof openSheet === 'string') workspace.openSheet = openSheet;
    if (processId !== null) endWithClient(processId);
    workspace.folders = workspaceFolders?.map((folder) => folder.uri) ?? (rootUri ? [rootUri] : []);
  });
  const background = new Background({
    workspace,
    untilIdle: () => services.updates.untilIdle(),
    publish: (told) => void connection.sendDiagnostics(told).catch(() => {}),
    begin: () => beginProgress(connection),
  });
  services.updates.onTakenIn = (uris) => background.changed(uris);
  followSettings(connection, services, (isOn) => background.begin(isOn));
  followFolders(connection, services, workspace, background);
  watchFiles(connection, services);
  startLanguageServer(services.shared);
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
    const watchers = [{ globPattern: '**/*.gusset' }];
    if (canWatch) connection.client.register(DidChangeWatchedFilesNotification.type, { watchers }).catch(() => {});
  });
}

/** The names in a folder of this machine. */
function listFolder(uri: string): string[] {
  if (!uri.startsWith('file:')) return [];
  try {
    const entries = readdirSync(fileURLToPath(uri), { withFileTypes: true });
    const shown = entries.filter((entry) => !entry.name.startsWith('.'));
    return shown.map((entry) => (entry.isDirectory() ? `${entry.name}/` : entry.name));
  } catch {
    return [];
  }
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
  let waiting: NodeJS.Timeout | undefined;
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
