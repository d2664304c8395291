/** The colours of a sheet in the editor, in one column or two, are the editor's own, in each of its themes. */
export const editorColours = `
:root { --text: var(--vscode-editor-foreground); --quiet: var(--vscode-descriptionForeground, var(--vscode-editor-foreground));
  --line: var(--vscode-contrastBorder, var(--vscode-editorWidget-border, var(--vscode-panel-border)));
  --back: var(--vscode-editor-background); --error: var(--vscode-errorForeground); --warning: var(--vscode-editorWarning-foreground);
  --mark: var(--vscode-descriptionForeground, var(--vscode-editor-foreground)); --curve-1: var(--vscode-charts-blue);
  --curve-2: var(--vscode-charts-red); --curve-3: var(--vscode-charts-orange); }
[data-place] { cursor: pointer; } [data-place]:hover, [data-place]:focus-visible { text-decoration: underline; }
:focus-visible { outline: 1px solid var(--vscode-focusBorder); outline-offset: 2px; }
svg [data-place]:is(:hover, :focus-visible) :is(path, polyline, line) { stroke: var(--vscode-textLink-foreground); }
[aria-current] { background: var(--vscode-editor-selectionHighlightBackground); outline: 1px solid var(--vscode-contrastActiveBorder, transparent); }
`;
