import Papa from 'papaparse';
import type { SheetData } from './data.ts';
import { tablesOf } from './rows.ts';

/**
 * The tables of a sheet, each as a file of comma-separated values with its name. What a spreadsheet would take for a formula is quoted.
 * Source: RFC 4180; OWASP, "CSV Injection".
 */
export function csvOf(sheet: SheetData): { name: string; text: string }[] {
  const files = sheet.sections.flatMap((section) =>
    tablesOf(section).map(({ title, heading, rows }) => ({
      name: fileName([sheet.machine, section.heading, title]),
      text: `${Papa.unparse({ fields: [...heading], data: rows.map((row) => [...row]) }, { escapeFormulae: true })}\r\n`,
    })),
  );
  return files.map(({ name, text }, i) => {
    const before = files.slice(0, i).filter((other) => other.name === name).length;
    return { name: `${name}${before ? `-${before + 1}` : ''}.csv`, text };
  });
}

function fileName(words: readonly string[]): string {
  const name = words.filter(Boolean).join('-');
  return name.replace(/[^\p{L}\p{N}]+/gu, '-').replace(/^-|-$/g, '');
}
