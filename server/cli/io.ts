import pc from 'picocolors';

/** Where a command writes, and how wide and colourful; tests give their own. */
export interface Io {
  out(text: string): void;
  err(text: string): void;
  /** All that comes in on standard input, until it ends; undefined where there is none. */
  input?(): Uint8Array;
  /** Is kept once whoever started the program wants it to stop; undefined where it cannot be told to. */
  stopped?(): Promise<void>;
  readonly cwd: string;
  readonly colours: boolean;
  /** Characters in a line of prose. */
  readonly width: number;
  /** The program as it can be started again, for threads of its own; undefined where it is no process. */
  readonly program?: string;
  /** Tells how far something has come, in place of what was told before; undefined where nobody looks. */
  progress?(text: string): void;
}

/** A wrong call, or a file that cannot be read: told on stderr, with exit status 2. */
export class CallError extends Error {}

/** Exit statuses, as they are documented in the help. */
export const exitStatuses = { good: 0, found: 1, wrongCall: 2 } as const;

/** Text styles by what they are for; without colours, plain text. */
export function stylesFor(io: Pick<Io, 'colours'>) {
  const colours = pc.createColors(io.colours);
  return {
    heading: colours.bold,
    quiet: colours.dim,
    error: (text: string) => colours.bold(colours.red(text)),
    warning: colours.yellow,
    advice: colours.cyan,
    good: colours.green,
    caution: colours.magenta,
  };
}
export type Styles = ReturnType<typeof stylesFor>;

/** Breaks prose into lines no longer than `width`, each behind `indent`; `hanging` is the indent from the second line on. */
export function wrap(text: string, width: number, indent = '', hanging = indent): string {
  const lines: string[] = [];
  for (const paragraph of text.split('\n')) {
    let line = '';
    for (const word of paragraph.split(' ')) {
      const before = lines.length === 0 ? indent : hanging;
      if (line && before.length + line.length + 1 + word.length > width) {
        lines.push(before + line);
        line = word;
      } else line = line ? `${line} ${word}` : word;
    }
    lines.push((lines.length === 0 ? indent : hanging) + line);
  }
  return lines.map((line) => line.trimEnd()).join('\n');
}

/** Lines of cells in columns; a column is as wide as its widest cell, the last is left as it is. */
export function columns(rows: readonly (readonly string[])[], gap = '  '): string[] {
  const widths: number[] = [];
  for (const row of rows) for (const [i, cell] of row.entries()) widths[i] = Math.max(widths[i] ?? 0, cell.length);
  return rows.map((row) =>
    row
      .map((cell, i) => (i === row.length - 1 ? cell : cell.padEnd(widths[i] as number)))
      .join(gap)
      .trimEnd(),
  );
}

/**
 * The same within a width: each row is one line or more. The columns that give way are those whose loss makes the table grow the
 * least.
 */
export function columnsWithin(rows: readonly (readonly string[])[], width: number, gap = '  '): string[][] {
  const widths = (rows[0] ?? []).map((_, i) => Math.max(...rows.map((row) => row[i]?.length ?? 0)));
  const narrowest = widths.map((_, i) => Math.max(...rows.map((row) => unbroken(row[i] ?? ''))));
  const heights = new Map<string, number>();
  const heightOf = (cell: string, within: number) => {
    if (cell.length <= within && !cell.includes('\n')) return 1;
    const key = `${within} ${cell}`;
    if (!heights.has(key)) heights.set(key, wrap(cell, within).split('\n').length);
    return heights.get(key) as number;
  };
  const grown = (column: number) =>
    rows.reduce(
      (sum, row) => sum + Math.max(...row.map((cell, i) => heightOf(cell, (widths[i] ?? 0) - Number(i === column)))),
      0,
    );
  const excess = () => widths.reduce((sum, each) => sum + each, gap.length * (widths.length - 1)) - width;
  while (excess() > 0) {
    const wide = widths.flatMap((each, i) => (each > (narrowest[i] ?? 0) ? [i] : []));
    if (wide.length === 0) break;
    const [least] = wide
      .map((column) => ({ column, height: grown(column), width: widths[column] ?? 0 }))
      .sort((a, b) => a.height - b.height || b.width - a.width);
    widths[least?.column ?? 0] = (least?.width ?? 0) - 1;
  }
  return rows.map((row) => {
    const cells = row.map((cell, i) => wrap(cell, widths[i] ?? 0).split('\n'));
    const height = Math.max(...cells.map((lines) => lines.length));
    return Array.from({ length: height }, (_, at) =>
      cells
        .map((of, i) => (of[at] ?? '').padEnd(widths[i] ?? 0))
        .join(gap)
        .trimEnd(),
    );
  });
}

/** Longest piece of a cell that stays on one line: a word, or all of it where it is as short as a number with its unit. */
function unbroken(cell: string): number {
  return cell.length <= 18 ? cell.length : Math.max(...cell.split(' ').map((word) => word.length));
}

/** `1 error`, `3 errors` */
export function count(number: number, one: string, many = `${one}s`): string {
  return `${number} ${number === 1 ? one : many}`;
}
