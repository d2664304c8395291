import { alternatives } from '../../language/explore/alternatives.ts';
import { alternativesText } from './alternatives-text.ts';
import { asCall, below, sideOnDisk } from './explore.ts';
import { exitStatuses, type Io } from './io.ts';
import { pathsIn } from './named-value.ts';
import type { TableFormat } from './table.ts';

/** Prints the parts that could stand in place of a block, side by side. */
export function printAlternatives(
  path: string,
  machine: string,
  block: string,
  { show, format }: { readonly show?: string; readonly format: TableFormat },
  io: Io,
): number {
  const side = sideOnDisk(path, machine, io.cwd);
  const found = asCall(() => alternatives(side, below(block, machine), show === undefined ? [] : pathsIn(show)));
  io.out(alternativesText(found, format));
  return exitStatuses.good;
}
