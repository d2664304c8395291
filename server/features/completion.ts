import {
  type CompletionItem,
  CompletionItemKind,
  type CompletionList,
  type MarkupContent,
  type Position,
  type Range,
} from 'vscode-languageserver';
import { complete } from '../../language/answers/complete.ts';
import type { Proposal, ProposalSort } from '../../language/answers/proposal.ts';
import { resolveUri, type SourceFile } from '../../language/project.ts';
import { withoutMarks } from '../client-can.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';
import { keywordText } from './hover/language-words.ts';

/** After these an editor asks without being told to. */
export const completionOptions = { triggerCharacters: [' ', '.', '=', '/'] };

const kinds: Readonly<Record<ProposalSort, CompletionItemKind>> = {
  value: CompletionItemKind.Property,
  block: CompletionItemKind.Module,
  part: CompletionItemKind.Constant,
  kind: CompletionItemKind.Class,
  unit: CompletionItemKind.Unit,
  choice: CompletionItemKind.EnumMember,
  function: CompletionItemKind.Function,
  keyword: CompletionItemKind.Keyword,
  argument: CompletionItemKind.Field,
  size: CompletionItemKind.Value,
  rule: CompletionItemKind.Event,
  check: CompletionItemKind.Event,
  type: CompletionItemKind.TypeParameter,
  local: CompletionItemKind.Variable,
  file: CompletionItemKind.File,
};

/** What can be written at a position, the best first. */
export function completion(file: SourceFile, position: Position, workspace: Workspace): CompletionList {
  const offset = file.lines.offset(position);
  const found = complete(file, offset, (path) => usableFiles(file, path, workspace));
  if (!found) return { isIncomplete: false, items: [] };
  const range = rangeIn(file, found);
  return {
    isIncomplete: false,
    items: found.proposals.map((proposal, index) => item(proposal, index, range, workspace)),
  };
}

function item(proposal: Proposal, index: number, range: Range, workspace: Workspace): CompletionItem {
  const { label, sort, text, detail } = proposal;
  return {
    label,
    kind: kinds[sort],
    detail,
    documentation: documented(proposal, workspace),
    sortText: String(index).padStart(5, '0'),
    filterText: label,
    textEdit: { range, newText: text ?? label },
  };
}

function documented(
  { documentation, sort, label }: Proposal,
  { client }: Workspace,
): MarkupContent | string | undefined {
  const value = documentation || (sort === 'keyword' ? keywordText(label) : undefined);
  if (!value) return undefined;
  return client.readMarkdownItems ? { kind: 'markdown', value } : withoutMarks(value);
}

/** Files and folders that a `use` could go on with, as seen from a file; the file itself is none. */
function usableFiles(file: SourceFile, path: string, workspace: Workspace): string[] {
  const folder = resolveUri(file.uri, `${path}x`).slice(0, -1);
  return workspace
    .list(folder)
    .filter(
      (name) => (name.endsWith('/') || name.endsWith('.gusset')) && folder + encodeURIComponent(name) !== file.uri,
    );
}
