import { inlineValues } from '../language/answers/inline-values.ts';
import { rangeOf } from '../language/grammar/syntax.ts';
import { answerTo } from '../language/judge/choices.ts';
import type { Finding } from '../language/judge/finding.ts';
import { whyNotKnown } from '../language/judge/verdict-words.ts';
import type { Assessed, Project, SourceFile } from '../language/project.ts';

/** Everything the project says of a file, as plain text: two projects that agree say the same. */
export function snapshot(project: Project, file: SourceFile): string[] {
  const at = (offset: number) => {
    const { line, character } = file.lines.position(offset);
    return `${line + 1}:${character + 1}`;
  };
  const mistakes = project
    .mistakes(file)
    .map((m) => `${at(m.start)} ${m.severity} ${m.code} ${m.message} | ${m.fixes.map((f) => f.title).join('; ')}`);
  return [...mistakes, ...project.machines(file).flatMap((machine) => machineLines(machine, at))];
}

function machineLines(machine: Assessed, at: (offset: number) => string): string[] {
  const { assessment, choices } = machine;
  const finding = (f: Finding): string =>
    `${at(rangeOf(f.places[0] as never).start)} ${f.severity} ${f.rule} ${f.instance.path}: ${f.message} [${f.consequences.map(finding).join(' / ')}]`;
  return [
    `machine ${machine.tree.name}, ${assessment.held} hold`,
    ...assessment.findings.map(finding),
    ...assessment.requirements.map(
      (r) => `${r.text} ${r.holds} ${r.shown ?? ''} ${r.margin?.amount ?? ''} ${r.missing.join()}`,
    ),
    ...assessment.undecided.map((u) => `undecided ${u.rule} ${u.instance.path}: ${whyNotKnown(u)}`),
    ...choices.map(
      (c) => `choice ${c.instance.path}.${c.name} ${answerTo(c)} ${c.obstacles.map((o) => o.message).join()}`,
    ),
    ...inlineValues(machine).map((v) => `${at(v.offset)} ${v.kind} ${v.text}`),
  ];
}
