/** The layout of a sheet: calm, one column. Its colours are variables that whoever shows it sets. */
export const sheetStyle = `
body { margin: 0; padding: 20px; background: var(--back); color: var(--text);
  font: 13px/1.5 system-ui, "Segoe UI", "DejaVu Sans", sans-serif; font-variant-numeric: tabular-nums; }
main { max-width: 720px; margin: 0 auto; }
h1 { font-size: 22px; margin: 0 0 4px; } h2 { scroll-margin-top: 72px; font-size: 16px; margin: 32px 0 8px; padding-top: 8px; border-top: 1px solid var(--line); }
h3 { font-size: 13px; margin: 16px 0 4px; }
.about { color: var(--quiet); margin: 2px 0 8px; max-width: 62em; }
nav { position: sticky; top: 0; background: var(--back); padding: 6px 0; border-bottom: 1px solid var(--line); z-index: 1; }
nav ul { display: flex; gap: 14px; overflow-x: auto; scrollbar-width: thin; white-space: nowrap; list-style: none; margin: 0; padding: 0; }
a { color: inherit; }
table { border-collapse: collapse; width: 100%; } th, td { text-align: left; vertical-align: top; padding: 3px 12px 3px 0; font-weight: normal; }
thead th, thead td { color: var(--quiet); border-bottom: 1px solid var(--line); } tbody tr { border-bottom: 1px solid var(--line); }
.rows th { width: 42%; } tbody th { min-width: 6.5em; } td.long { min-width: 14em; } .rows .bar { width: 100px; padding-right: 0; } .bar svg { display: block; margin-top: 6px; }
#moving label { display: inline-block; min-width: 16em; } #moving input { width: 18em; vertical-align: middle; } #moved td { width: 28%; }
main.columns { max-width: none; } .beside { display: grid; grid-template-columns: minmax(0, 1fr) minmax(0, 1fr); gap: 24px; } .columns > details > summary { color: var(--quiet); margin: 12px 0; cursor: pointer; }
.columns > details:not([open]) > :not(summary) { display: none; }
.scroll { overflow-x: auto; }
.notes, .notes ul { padding-left: 18px; margin: 4px 0; } .notes > li { margin: 6px 0; }
.severity { color: var(--quiet); } .error > .severity { color: var(--error); font-weight: 600; } .warning > .severity { color: var(--warning); font-weight: 600; }
.together { padding-top: 12px; font-weight: 600; }
.checks { list-style: none; padding: 0; margin: 4px 0; } .checks > li { padding: 6px 0 8px; border-bottom: 1px solid var(--line); } .checks p { margin: 2px 0; max-width: 62em; }
.below { color: var(--quiet); font-size: 0.92em; font-weight: normal; }
code { font: 0.95em ui-monospace, "DejaVu Sans Mono", monospace; }
.expected { color: var(--quiet); } .boxes { display: flex; flex-wrap: wrap; gap: 2px 24px; list-style: none; padding: 0; margin: 4px 0 0; }
.boxes .blank { display: inline-block; width: 90px; margin-left: 8px; border-bottom: 1px solid var(--quiet); }
.caution { margin: 2px 0; border-left: 3px solid var(--error); padding-left: 8px; }
figure svg.ladder { display: block; margin: 0 0 12px; break-inside: avoid; }
figure svg.drawing { display: block; margin: 0 0 12px; break-inside: avoid; }
figure { margin: 8px 0 16px; } figure svg { max-width: 100%; height: auto; } figcaption .about { margin: 0; }
@page { margin: 16mm; @bottom-right { content: counter(page) " / " counter(pages); font-size: 9pt; } }
@media print {
  body { padding: 0; font-size: 9pt; line-height: 1.35; } main { max-width: none; } nav { display: none; } thead { display: table-header-group; }
  h2 { margin: 18px 0 4px; } h3 { margin: 10px 0 2px; } th, td { padding: 2px 10px 2px 0; } .together { padding-top: 7px; } .bar svg { margin-top: 4px; }
  .about { margin: 1px 0 4px; } .notes > li { margin: 3px 0; } .checks > li { padding: 3px 0 4px; } .checks p { margin: 1px 0; } figure { margin: 4px 0 8px; }
  .slim { columns: 2; column-gap: 24px; } figure > svg:not([class]) { max-width: 480px; }
  tr, figure, .scroll:not(:has(tr:nth-child(9))):not(:has(tbody ~ tbody)), .notes > li, .checks > li, h2, h3, .about { break-inside: avoid; } h2, h3, h2 + .about, h3 + .about, tr:has(> .together) { break-after: avoid; } details { display: none; } figure svg.drawing { max-width: none; height: auto; } .scroll { overflow: visible; } td.long { min-width: 10em; } .tight table { font-size: 8pt; } .tight td, .tight th { overflow-wrap: anywhere; min-width: 0; padding-right: 5px; } }
`;

/** Its colours on a page of its own: those of the reader where these are forced, black on white in print. */
export const pageColours = `
:root { --text: #1f2328; --quiet: #59636e; --line: #d8dee4; --back: #ffffff; --error: #b42318; --warning: #7a4b00; --mark: #59636e;
  --curve-1: #0b6bcb; --curve-2: #b3261e; --curve-3: #5f5200; color-scheme: light dark; }
@media (prefers-color-scheme: dark) { :root { --text: #e6e9ec; --quiet: #a7b0b8; --line: #3a4046; --back: #1b1e21; --error: #ff9c92;
  --warning: #e8b768; --mark: #a7b0b8; --curve-1: #7cb7ff; --curve-2: #ffa198; --curve-3: #d9cc6a; } }
@media screen and (forced-colors: active) { :root { --text: CanvasText; --quiet: CanvasText; --line: CanvasText; --back: Canvas; --error: CanvasText;
  --warning: CanvasText; --mark: CanvasText; --curve-1: CanvasText; --curve-2: CanvasText; --curve-3: CanvasText; } }
@media print { :root { --text: #000; --quiet: #333; --line: #bbb; --back: #fff; --error: #000; --warning: #000; --mark: #333; --curve-1: #000; --curve-2: #000; --curve-3: #000; color-scheme: light; } }
`;
