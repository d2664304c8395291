// A view of the editor cannot print itself: its page is handed to the browser of the system, which can.
import { env, ProgressLocation, UIKind, Uri, window, workspace } from 'vscode';

const SAVE = 'Save as a Page';

/** What is asked where no browser can be handed a page. */
const cannot =
  'No browser can be handed the sheet from here. Save it as a page where you can open it, and print it in a browser.';

/**
 * Opens what `pageOf` writes in the system's browser, where it is printed. Where the files are on another computer, or the editor runs in a
 * browser itself, or none opens, `save` is offered instead.
 */
export async function printPage(
  folder: Uri,
  pageOf: () => Promise<{ readonly name: string; readonly page: string } | undefined>,
  save: () => Promise<void>,
): Promise<void> {
  const isHere = env.remoteName === undefined && env.uiKind === UIKind.Desktop;
  const isOpen = isHere ? await opens(folder, pageOf) : false;
  if (isOpen === undefined) return;
  if (isOpen) window.setStatusBarMessage('The sheet is in your browser: print it there.', 10_000);
  else if ((await window.showInformationMessage(cannot, SAVE)) === SAVE) await save();
}

/** Does a browser open the page? Undefined where there is none to open. */
async function opens(folder: Uri, pageOf: Parameters<typeof printPage>[1]): Promise<boolean | undefined> {
  const progress = { location: ProgressLocation.Window, title: 'Writing the sheet' };
  const written = await window.withProgress(progress, pageOf);
  if (!written) return undefined;
  const file = Uri.joinPath(folder, `${written.name}.html`);
  try {
    await workspace.fs.createDirectory(folder);
    await workspace.fs.writeFile(file, new TextEncoder().encode(written.page));
    return await env.openExternal(file);
  } catch {
    return false;
  }
}
