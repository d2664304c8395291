/** The value that so large a part of the samples stays at or below (nearest rank). */
export function quantile(samples: readonly number[], part: number): number {
  const sorted = [...samples].sort((a, b) => a - b);
  return sorted[Math.max(0, Math.ceil(part * sorted.length) - 1)] ?? Number.NaN;
}

export const median = (samples: readonly number[]): number => quantile(samples, 0.5);

/** ms with as many digits as mean something. */
export function milliseconds(value: number): string {
  if (Number.isNaN(value)) return '-';
  return value >= 100 ? value.toFixed(0) : value >= 10 ? value.toFixed(1) : value.toFixed(2);
}

/** Median and 95th percentile, in ms. */
export function summary(samples: readonly number[]): string {
  return samples.length === 0 ? '-' : `${milliseconds(median(samples))} / ${milliseconds(quantile(samples, 0.95))}`;
}

/** A Markdown table with its columns padded, so that it reads well in a terminal too. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): string {
  const widths = head.map((title, i) => Math.max(title.length, 3, ...rows.map((row) => row[i]?.length ?? 0)));
  const line = (cells: readonly string[]) =>
    `| ${widths.map((width, i) => (i === 0 ? (cells[i] ?? '').padEnd(width) : (cells[i] ?? '').padStart(width))).join(' | ')} |`;
  const rule = widths.map((width, i) => (i === 0 ? '-'.repeat(width) : `${'-'.repeat(width - 1)}:`));
  return [line(head), `| ${rule.join(' | ')} |`, ...rows.map(line)].join('\n');
}
