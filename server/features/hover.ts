import type { Hover, MarkupContent, Position } from 'vscode-languageserver';
import type { Meaning } from '../../language/answers/meaning.ts';
import { symbolAt } from '../../language/answers/meanings-at.ts';
import type { SourceFile } from '../../language/project.ts';
import { withoutMarks } from '../client-can.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';
import { keywordText } from './hover/language-words.ts';
import {
  blockText,
  checkText,
  choiceText,
  declarationText,
  kindText,
  partText,
  ruleText,
  unitText,
  useText,
} from './hover/names.ts';
import { statementText } from './hover/statements.ts';
import { memberText, valueText } from './hover/values.ts';
import { assessedTrees } from './machines.ts';

/** What is known of the name at a position: its documentation, and in a machine its value and how that came about. */
export function hover(file: SourceFile, position: Position, workspace: Workspace): Hover | undefined {
  const offset = file.lines.offset(position);
  const statement = statementText(file, offset, workspace);
  if (statement) return { contents: readable(statement.text, workspace), range: statement.range };
  const meaning = symbolAt(file, offset, assessedTrees(file, workspace));
  const value = meaning && textOf(meaning, file, offset, workspace);
  if (!meaning || !value) return undefined;
  return { contents: readable(value, workspace), range: rangeIn(file, meaning.range) };
}

function readable(value: string, { client }: Workspace): MarkupContent {
  return client.readMarkdownHovers ? { kind: 'markdown', value } : { kind: 'plaintext', value: withoutMarks(value) };
}

function textOf(meaning: Meaning, file: SourceFile, offset: number, workspace: Workspace): string | undefined {
  const { scope } = file;
  switch (meaning.sort) {
    case 'value':
      return valueText(meaning, file, offset, workspace) ?? memberText(meaning, scope);
    case 'block':
      return blockText(meaning, file, workspace);
    case 'kind':
      return kindText(meaning, scope);
    case 'part':
      return partText(meaning, scope);
    case 'check':
      return checkText(meaning, file, offset, workspace);
    case 'rule':
      return ruleText(meaning);
    case 'unit':
      return unitText(meaning, scope);
    case 'choice':
      return choiceText(meaning);
    case 'use':
      return useText(meaning, workspace);
    case 'declaration':
    case 'argument':
    case 'local':
    case 'size':
      return declarationText(meaning, scope);
    default:
      return keywordText(meaning.name);
  }
}
