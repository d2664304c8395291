// Runs inside the view of a machine's sheet.
import { type FromView, follow, mark, show, type ToView } from './sheet-document.ts';

declare const acquireVsCodeApi: () => { postMessage(message: FromView): void };

const editor = acquireVsCodeApi();
follow(document, (message) => editor.postMessage(message));
addEventListener('message', ({ data }: MessageEvent<ToView | { readonly at: string }>) => {
  if ('sections' in data) show(document, data);
  else mark(document, data.at);
});
editor.postMessage({ is: 'empty' });
