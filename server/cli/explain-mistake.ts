import { type OwnFinding, ownFindings } from '../../language/judge/own-findings.ts';
import { mistakeExamples } from '../../language/library/generated/manual.ts';
import type { MistakeKind } from '../../language/mistakes/mistake.ts';
import type { Page } from './page.ts';

/** A mistake in a text by its code: why it is one, how it is mended, and an example. */
export function explainMistake({ code, severity, why, mend }: MistakeKind, page: Page): Page {
  const example = mistakeExamples.find((each) => each.code === code);
  return page
    .title(`${code}, a mistake in a text`)
    .prose(why)
    .rows([
      ['level', severity],
      ['way out', mend],
    ])
    .code('So it is told', example?.wrong)
    .code('So it is right', example?.right);
}

/** What is found by no rule, by its code; undefined for other names. */
export function explainOwnFinding(name: string, page: Page): Page | undefined {
  if (!Object.hasOwn(ownFindings, name)) return undefined;
  const { why, mend } = ownFindings[name as OwnFinding];
  return page
    .title(`${name}, found in a machine by no rule`)
    .prose(why)
    .rows([['way out', mend]]);
}
