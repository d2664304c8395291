// The command that opens a machine to begin with in a new file, also under "New File…".
import { commands, type Disposable, window, workspace } from 'vscode';
import { type BaseLanguageClient, RequestType0 } from 'vscode-languageclient';
import type { StartsAnswer } from '../server/server.ts';

const startsRequest = new RequestType0<StartsAnswer, void>('gusset/starts');

export function registerNewMachine(client: () => BaseLanguageClient | undefined): Disposable {
  return commands.registerCommand('gusset.newMachine', async () => {
    const answer = await client()?.sendRequest(startsRequest);
    if (!answer) return;
    const picked = await window.showQuickPick(
      answer.starts.map(({ name, about, text }) => ({ label: name, detail: about, text })),
      { title: 'New Gusset Machine', placeHolder: 'What to begin with', matchOnDetail: true },
    );
    if (!picked) return;
    await window.showTextDocument(await workspace.openTextDocument({ language: 'gusset', content: picked.text }));
  });
}
