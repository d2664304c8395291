// How far the number at the cursor can go before a rule or a requirement turns, with steps that take it there.
import {
  type CodeAction,
  CodeActionKind,
  commands,
  type Disposable,
  ProgressLocation,
  window,
  workspace,
} from 'vscode';

/** Asked for by its kind alone: many numbers are tried for it. */
const AROUND = CodeActionKind.Refactor.append('around');

export function registerAroundNumber(): Disposable {
  return commands.registerCommand('gusset.aroundNumber', async () => {
    const editor = window.activeTextEditor;
    if (editor?.document.languageId !== 'gusset') {
      void window.showInformationMessage('Open a .gusset file first, with the cursor at a number.');
      return;
    }
    const { document, selection } = editor;
    const found = await window.withProgress({ location: ProgressLocation.Window, title: 'Trying numbers' }, async () =>
      commands.executeCommand<CodeAction[]>('vscode.executeCodeActionProvider', document.uri, selection, AROUND.value),
    );
    const steps = found.filter(({ kind }) => kind && AROUND.contains(kind));
    if (steps.length === 0) {
      void window.showInformationMessage('There is no number at the cursor that can go anywhere.');
      return;
    }
    const picked = await window.showQuickPick(
      steps.map((step) => ({ label: step.title, step })),
      { title: 'How Far This Number Can Go', placeHolder: 'Choose one, and it is written' },
    );
    if (picked?.step.edit) await workspace.applyEdit(picked.step.edit);
  });
}
