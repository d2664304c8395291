// What the last edit changed in the machines of the followed file: a quiet line in the status bar, at length where the pointer rests on it,
// and the whole comparison on a click.
import { type Disposable, MarkdownString, StatusBarAlignment, window } from 'vscode';
import { type BaseLanguageClient, RequestType } from 'vscode-languageclient';
import type { LastEdit } from '../server/features/last-edit.ts';
import { COMPARE } from './compare-with.ts';
import type { FollowedFile } from './followed-file.ts';

const request = new RequestType<{ uri: string }, LastEdit | null, void>('gusset/lastEdit');

/** So much of a line is shown; the rest is told at length. */
const MOST = 120;

export function registerLastEdit(client: () => BaseLanguageClient | undefined, followed: FollowedFile): Disposable[] {
  const item = window.createStatusBarItem('gusset.lastEdit', StatusBarAlignment.Left, 0);
  item.name = 'Gusset: What the Last Edit Changed';
  item.command = { command: COMPARE, title: 'Compare with the text before it', arguments: [{ lastEdit: true }] };
  const show = async () => {
    const uri = followed.uri?.toString();
    const answer = uri === undefined ? null : await client()?.sendRequest(request, { uri });
    if (uri !== followed.uri?.toString()) return;
    const [first, ...others] = answer?.machines ?? [];
    if (!answer || !first) {
      item.hide();
      return;
    }
    const line = [
      others.length > 0 ? `${first.machine}: ${first.line}` : first.line,
      others.length > 0 && `${others.length} more`,
    ]
      .filter(Boolean)
      .join('; ');
    item.text = line.length > MOST ? `${line.slice(0, MOST - 1).trimEnd()}…` : line;
    item.tooltip = atLength(answer);
    item.accessibilityInformation = { label: `The last edit changed: ${line}` };
    item.show();
  };
  const quietly = () => void show().catch(() => item.hide());
  quietly();
  return [item, followed.onDidChange(quietly)];
}

function atLength({ statements, machines }: LastEdit): MarkdownString {
  const told = new MarkdownString();
  const list = (lines: readonly string[]) => {
    for (const line of lines) {
      told.appendMarkdown('- ');
      told.appendText(line);
      told.appendMarkdown('\n');
    }
  };
  list(statements);
  for (const { machine, lines } of machines) {
    told.appendMarkdown(`\n**${machine}**\n\n`);
    list(lines);
  }
  told.appendMarkdown('\nA click compares with the text before it.');
  return told;
}
