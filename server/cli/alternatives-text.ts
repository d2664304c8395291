import type { Alternatives } from '../../language/explore/alternatives.ts';
import { listed } from '../../language/mistakes/sentence.ts';
import { printedTable, type TableFormat } from './table.ts';

/** As a table with a row for each part; columns that nothing stands in, or the same everywhere but for the part's own, are left out. */
export function alternativesText({ path, columns, rows, others }: Alternatives, format: TableFormat): string {
  const own = `${path}.`;
  const told = columns.flatMap((column, i) => {
    const texts = rows.map(({ values }) => values[i] ?? '');
    const differs = new Set(texts).size > 1;
    return differs || (column.startsWith(own) && texts.some(Boolean)) ? [{ column, texts }] : [];
  });
  const more = [
    { column: 'newly fails', texts: rows.map(({ fails }) => fails.join('; ')) },
    { column: 'no longer fails', texts: rows.map(({ mends }) => mends.join('; ')) },
    { column: 'comes off to look after it', texts: rows.map(({ uncover }) => uncover.join('; ')) },
  ].filter(({ texts }) => texts.some(Boolean));
  const all = [...told, ...more];
  const heading = ['part', ...all.map(({ column }) => (column.startsWith(own) ? column.slice(own.length) : column))];
  const lines = rows.map(({ part, isThere }, i) => [
    isThere && format !== 'csv' && format !== 'json' ? `${part} (there now)` : part,
    ...all.map(({ texts }) => texts[i] ?? ''),
  ]);
  const table = printedTable(heading, lines, format);
  if (others.length === 0 || format === 'csv' || format === 'json') return table;
  return `${table}\nNot there: ${listed(
    others.map(({ part, because }) => `${part} (${because.replace(/\.$/, '')})`),
    4,
  )}.\n`;
}
