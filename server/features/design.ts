import type { Range } from 'vscode-languageserver';
import { cellOf } from '../../language/compute/cell.ts';
import { markForBlock } from '../../language/compute/marks.ts';
import { showCell, valueOver } from '../../language/compute/show-cell.ts';
import { rangeOf } from '../../language/grammar/syntax.ts';
import { type Finding, isLaidAside } from '../../language/judge/finding.ts';
import { toldIn } from '../../language/judge/findings.ts';
import type { Instance } from '../../language/machine/tree.ts';
import { type Severity, severities } from '../../language/mistakes/mistake.ts';
import type { Assessed, SourceFile } from '../../language/project.ts';
import { isMissing } from '../../language/values/value.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';

/** A machine or a block that it says, with what is worth knowing at a glance. */
export interface DesignBlock {
  readonly name: string;
  readonly kind: string;
  /** Where the file names it, or the block around it. */
  readonly range: Range;
  /** The values that its kind names as worth showing, as `current 10.4 A`. */
  readonly values: readonly string[];
  /** What was found in it, in words, the gravest first. */
  readonly found: readonly { readonly severity: Severity; readonly message: string }[];
  /** The gravest of what was found in it and in its blocks. */
  readonly worst?: Severity;
  readonly blocks: readonly DesignBlock[];
}

/** The machines of a file as trees of their blocks. */
export function design(file: SourceFile, { project }: Workspace): DesignBlock[] {
  return project.machines(file).map((machine) => {
    const findings = toldIn(machine.assessment)
      .filter((finding) => !isLaidAside(finding))
      .flatMap(withConsequences);
    return blockOf(machine.tree, machine, findings, file);
  });
}

function withConsequences(finding: Finding): Finding[] {
  return [finding, ...finding.consequences.flatMap(withConsequences)];
}

function blockOf(instance: Instance, machine: Assessed, findings: readonly Finding[], file: SourceFile): DesignBlock {
  const blocks = [...instance.children.values()].filter(isSaid).map((child) => blockOf(child, machine, findings, file));
  const own = findings.filter((finding) => finding.instance === instance);
  const found = own.map(({ severity, message }) => ({ severity, message }));
  found.sort((a, b) => severities.indexOf(a.severity) - severities.indexOf(b.severity));
  const all = [...found.map(({ severity }) => severity), ...blocks.flatMap(({ worst }) => worst ?? [])];
  const worst = severities.find((severity) => all.includes(severity));
  return {
    name: instance.name,
    kind: instance.kind.name,
    range: rangeIn(file, rangeOf(markForBlock(instance, machine.entry))),
    values: headlinesOf(instance, machine),
    found,
    ...(worst && { worst }),
    blocks,
  };
}

/** Does a machine or a part put it there? Others are there by their kind, such as what can fail of it. */
function isSaid({ layers }: Instance): boolean {
  return layers.some(({ node, mode }) => node.$type === 'Entry' && mode !== 'kind');
}

function headlinesOf(instance: Instance, machine: Assessed): string[] {
  return instance.kind.headlines.flatMap((name) => {
    const cell = cellOf(instance, name);
    if (!cell) return [];
    const value = valueOver(cell, machine);
    // A list of blocks is a table: too much for a line.
    if (isMissing(value) || Array.isArray(value)) return [];
    return `${name.replaceAll('_', ' ')} ${showCell(cell, machine, value)}`;
  });
}
