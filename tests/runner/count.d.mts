import type { Results } from './report.ts';

export function count(
  results: Results,
  run: { clean: boolean; least?: Readonly<Record<string, number>> },
): { passed: number; failed: number; lines: string[] };
