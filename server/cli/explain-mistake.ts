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
