import type { Range } from 'vscode-languageserver';
import { rangeOf } from '../../../language/grammar/syntax.ts';
import { answerTo, candidatesInWords, waitingInWords } from '../../../language/judge/choices.ts';
import { requirementOutcome } from '../../../language/judge/requirements.ts';
import type { Assessed, SourceFile } from '../../../language/project.ts';
import type { Workspace } from '../../workspace.ts';
import { rangeIn } from '../diagnostics.ts';
import { code, paragraphs } from './markdown.ts';

/** What is shown, as Markdown, and for which words. */
interface Shown {
  readonly text: string;
  readonly range: Range;
}

/** How a requirement stands, over its first word; what is proposed for an open choice, over its question mark. */
export function statementText(file: SourceFile, offset: number, { project }: Workspace): Shown | undefined {
  for (const machine of project.machines(file)) {
    const { start, end } = rangeOf(machine.entry);
    if (offset < start || offset > end) continue;
    const text = requirementAt(machine, file, offset) ?? choiceAt(machine, file, offset);
    if (text) return text;
  }
  return undefined;
}

function requirementAt({ assessment }: Assessed, file: SourceFile, offset: number): Shown | undefined {
  for (const requirement of assessment.requirements) {
    const { target, text } = requirement;
    const { start } = rangeOf(target.node);
    const end = rangeOf(target.node.condition).start;
    if (offset < start || offset >= end) continue;
    return {
      text: paragraphs(code(text), requirementOutcome(requirement)),
      range: rangeIn(file, { start, end: start + file.parsed.text.slice(start, end).trimEnd().length }),
    };
  }
  return undefined;
}

function choiceAt({ choices }: Assessed, file: SourceFile, offset: number): Shown | undefined {
  const choice = choices.find(({ node }) => rangeOf(node).start <= offset && offset <= rangeOf(node).end);
  if (!choice) return undefined;
  const others = candidatesInWords(choice.tryAll()).map((each) => `- ${each}`);
  const title = choice.name ? `**${choice.name}**: ${answerTo(choice)}` : `**${answerTo(choice)}**`;
  return {
    text: paragraphs(
      title,
      waitingInWords(choice.undecided),
      others.length > 0 && `What could stand here, with the other choices as they are:\n${others.join('\n')}`,
    ),
    range: rangeIn(file, rangeOf(choice.node)),
  };
}
