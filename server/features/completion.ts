import {
  type CompletionItem,
  CompletionItemKind,
  type CompletionList,
  InsertTextFormat,
  type MarkupContent,
  type Position,
  type Range,
} from 'vscode-languageserver';
import { complete } from '../../language/answers/complete.ts';
import type { Hints, Proposal, ProposalSort } from '../../language/answers/proposal.ts';
import { fileOf, rangeOf, textOf } from '../../language/grammar/syntax.ts';
import { answerTo, mayBeWritten } from '../../language/judge/choices.ts';
import { usual } from '../../language/likely.ts';
import { resolveUri, type SourceFile } from '../../language/project.ts';
import { type WholeProposal, wholeProposals } from '../../language/whole-proposals.ts';
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
  const answers = answersAt(file, offset, workspace);
  const found = complete(file, offset, hintsFor(file, workspace));
  if (!found) return { isIncomplete: false, items: answers };
  const range = rangeIn(file, found);
  return {
    isIncomplete: false,
    items: [...answers, ...found.proposals.map((proposal, index) => item(proposal, index, range, workspace))],
  };
}

/** Does a position stand at an open choice, before or behind its mark? */
export function standsAtQuestion(file: SourceFile, position: Position): boolean {
  const offset = file.lines.offset(position);
  return file.parsed.text.slice(Math.max(0, offset - 1), offset + 1).includes('?');
}

/** What is proposed for the open choice that an offset stands at, as far as it is solved: in place of the whole of its text. */
function answersAt(file: SourceFile, offset: number, { project }: Workspace): CompletionItem[] {
  const choices = project.judged(file).flatMap((machine) => machine.choices);
  const found = choices.flatMap((choice): CompletionItem[] => {
    const { node, proposed } = choice;
    if (!proposed || !mayBeWritten(choice) || fileOf(node) !== file.parsed.file) return [];
    const { start, end } = rangeOf(node);
    if (offset < start || end < offset) return [];
    return [
      {
        label: proposed.text,
        kind: CompletionItemKind.Value,
        detail: answerTo(choice),
        sortText: '',
        // An editor compares this with the text that is replaced.
        filterText: textOf(node),
        textEdit: { range: rangeIn(file, { start, end }), newText: proposed.text },
      },
    ];
  });
  return found.filter(({ label }, i) => found.findIndex((each) => each.label === label) === i);
}

function item(proposal: Proposal, index: number, range: Range, workspace: Workspace): CompletionItem {
  const { label, sort, text, blanks, detail } = proposal;
  const filled = blanks !== undefined && workspace.client.fillBlanks;
  return {
    label,
    kind: kinds[sort],
    detail,
    documentation: documented(proposal, workspace),
    sortText: String(index).padStart(5, '0'),
    filterText: label,
    textEdit: { range, newText: filled ? blanks : (text ?? label) },
    ...(filled && { insertTextFormat: InsertTextFormat.Snippet }),
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

/** What is known of a file's machines, what is often given, and the files there are. */
function hintsFor(file: SourceFile, workspace: Workspace): Hints {
  const { project } = workspace;
  return {
    listFiles: (path) => usableFiles(file, path, workspace),
    asked: (path) =>
      new Map(
        project
          .judged(file)
          .flatMap(({ assessment }) => assessment.notSaid)
          .filter(({ instance }) => instance.path === path)
          .map(({ name, waiting }) => [name, waiting]),
      ),
    whole: (path) => wholeAt(file, path, workspace),
    usual: usual(project),
    canFill: workspace.client.fillBlanks,
  };
}

/** Blocks that answer what others of a machine ask, that can stand in the block of a path. */
export function wholeAt(file: SourceFile, path: string, { project }: Workspace): WholeProposal[] {
  return project.judged(file).flatMap((machine) => {
    const block = machine.tree.all().find((each) => each.path === path);
    if (!block) return [];
    return wholeProposals(machine, project).filter(({ holder }) => block.kind.isA(holder));
  });
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
