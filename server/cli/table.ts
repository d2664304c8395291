import Papa from 'papaparse';
import { markdownText, table } from '../sheet/markdown.ts';
import { columns } from './io.ts';

/** How a table can be printed. */
export type TableFormat = 'text' | 'markdown' | 'csv' | 'json';

/** A table as text in columns, as Markdown, with commas, or as JSON: a list of rows by the names of their columns. */
export function printedTable(
  heading: readonly string[],
  rows: readonly (readonly string[])[],
  format: TableFormat,
): string {
  switch (format) {
    case 'text':
      return `${columns([heading, ...rows]).join('\n')}\n`;
    case 'csv':
      return `${Papa.unparse({ fields: [...heading], data: rows.map((row) => [...row]) }, { escapeFormulae: true })}\r\n`;
    case 'json':
      return `${JSON.stringify(
        rows.map((row) => Object.fromEntries(row.map((cell, i) => [heading[i] || 'name', cell]))),
        null,
        2,
      )}\n`;
    case 'markdown':
      return markdownText([table({ heading, rows })]);
  }
}
