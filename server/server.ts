// The language server: what a connection to a client is answered with.
import { readFileSync } from 'node:fs';
import { fileURLToPath } from 'node:url';
import { startLanguageServer } from 'langium/lsp';
import { type Connection, createConnection, ProposedFeatures } from 'vscode-languageserver/node';
import { languagePage } from '../language/library/generated/library.ts';
import { canonicalUri } from '../language/project.ts';
import { createServices, type GussetServices } from './services.ts';
import { readInlineSettings } from './settings.ts';
import { Workspace } from './workspace.ts';

/** Answers a client over a connection, until it hangs up. */
export function serve(connection: Connection = createConnection(ProposedFeatures.all)): void {
  const workspace = new Workspace(readText);
  const services = createServices(connection, workspace);
  connection.onRequest('gusset/libraryFile', ({ uri }: { uri: string }) => ({
    text: workspace.libraryText(canonicalUri(uri)) ?? null,
  }));
  connection.onRequest('gusset/languagePage', () => ({ markdown: languagePage }));
  followSettings(connection, services);
  startLanguageServer(services.shared);
}

/** The text of a file on disk; undefined for what is not there, or is no file of this machine. */
function readText(uri: string): string | undefined {
  if (!uri.startsWith('file:')) return undefined;
  try {
    return readFileSync(fileURLToPath(uri), 'utf8');
  } catch {
    return undefined;
  }
}

/** Reads the client's settings at the start and when they change, and has the values in the lines shown anew. */
function followSettings(connection: Connection, services: GussetServices): void {
  const language = services.shared.lsp.LanguageServer;
  let canConfigure = false;
  let canRefresh = false;
  const refresh = () => void (canRefresh && connection.languages.inlayHint.refresh().catch(() => {}));
  const read = async () => {
    if (canConfigure)
      services.settings = readInlineSettings(await connection.workspace.getConfiguration('gusset.inlineValues'));
    refresh();
  };
  language.onInitialize(({ capabilities }) => {
    canConfigure = capabilities.workspace?.configuration ?? false;
    canRefresh = capabilities.workspace?.inlayHint?.refreshSupport ?? false;
  });
  language.onInitialized(() => void read().catch(() => {}));
  services.shared.workspace.ConfigurationProvider.onConfigurationSectionUpdate(() => void read().catch(() => {}));
  services.updates.onOthersChanged = refresh;
}
