import { languagePage } from '../../language/library/generated/manual.ts';
import type { SourceFile } from '../../language/project.ts';
import { withColouredCode } from '../cli/coloured-code.ts';
import { pagesOfName } from '../cli/explain-name.ts';
import { MarkdownPage } from '../cli/markdown-page.ts';
import type { Workspace } from '../workspace.ts';

/** The page that tells of the language, with coloured code. */
export function languagePageMarkdown(): string {
  return withColouredCode(languagePage);
}

/** The page of a rule, or of whatever else goes by a name that a file sees; undefined where nothing does. */
export function pageOf(name: string, file: SourceFile | undefined, { project }: Workspace): string | undefined {
  const scope = file?.scope ?? project.library.scope;
  const io = { out() {}, err() {}, cwd: '', colours: false, width: Number.POSITIVE_INFINITY };
  const pages = pagesOfName(name, scope, () => new MarkdownPage(io, { of: () => undefined }));
  return pages.length > 0 ? `${pages.join('\n')}` : undefined;
}
