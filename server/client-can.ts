import type { ClientCapabilities } from 'vscode-languageserver';

/** What a client takes that not every client does. */
export interface ClientCan {
  /** Links that tell which words they lead from, in place of mere locations. */
  readonly followLinks: boolean;
  /** An outline in levels, in place of a list. */
  readonly nestSymbols: boolean;
  readonly readMarkdownHovers: boolean;
  readonly readMarkdownItems: boolean;
  /** Texts with blanks to be filled one after the other. */
  readonly fillBlanks: boolean;
  /** The same in changes of a text. */
  readonly fillBlanksOfChanges: boolean;
  /** Changes that make files. */
  readonly makeFiles: boolean;
  /** A place that a finding's code leads to. */
  readonly followCodes: boolean;
  /** What is no longer to be used, struck out. */
  readonly strikeOut: boolean;
  /** It asks for what is found, and hears when there is more: findings are known in steps, what is certain first. */
  readonly askForFindings: boolean;
  readonly readMarkdownFindings: boolean;
  /** Texts that only the server has, in place of files of the disk. */
  readonly askForTexts: boolean;
}

/** What a client can take, by what it offers at its start; what it does not speak of, it cannot. */
export function clientCan({ textDocument = {}, workspace = {} }: ClientCapabilities): ClientCan {
  const { definition, documentSymbol, hover, completion, publishDiagnostics, diagnostic } = textDocument;
  const askForFindings = diagnostic !== undefined && (workspace.diagnostics?.refreshSupport ?? false);
  const ofFindings = askForFindings ? diagnostic : publishDiagnostics;
  return {
    followLinks: definition?.linkSupport ?? false,
    nestSymbols: documentSymbol?.hierarchicalDocumentSymbolSupport ?? false,
    readMarkdownHovers: hover?.contentFormat?.includes('markdown') ?? false,
    readMarkdownItems: completion?.completionItem?.documentationFormat?.includes('markdown') ?? false,
    fillBlanks: completion?.completionItem?.snippetSupport ?? false,
    fillBlanksOfChanges: workspace.workspaceEdit?.snippetEditSupport ?? false,
    makeFiles:
      (workspace.workspaceEdit?.documentChanges && workspace.workspaceEdit.resourceOperations?.includes('create')) ??
      false,
    followCodes: ofFindings?.codeDescriptionSupport ?? false,
    strikeOut: ofFindings?.tagSupport?.valueSet.includes(2) ?? false,
    askForFindings,
    readMarkdownFindings: askForFindings && (diagnostic?.markupMessageSupport ?? false),
    askForTexts: workspace.textDocumentContent !== undefined,
  };
}

/** Markdown as it is read without a reader of Markdown: the marks of bold, slanted and code words left out, columns apart. */
export function withoutMarks(markdown: string): string {
  return markdown
    .split('\n')
    .filter((line) => !/^```|^(\| ?-+ ?)+\|$/.test(line))
    .map((line) => line.replace(/^\| (.*) \|$/, (_, row: string) => row.split(/ (?<!\\)\| /).join('  ')))
    .map((line) =>
      line
        .replace(/\*\*|`/g, '')
        .replace(/^_(.*)_$/, '$1')
        .trimEnd(),
    )
    .join('\n');
}
