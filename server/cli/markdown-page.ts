import { colouredCode } from './coloured-code.ts';
import { Page } from './page.ts';

/** The same page as Markdown, with coloured code: for an editor that shows such. */
export class MarkdownPage extends Page {
  override title(text: string): this {
    return this.add(`## ${escaped(text)}`);
  }

  override prose(text: string): this {
    return text ? this.add(escaped(text)) : this;
  }

  override rows(rows: readonly (readonly [string, string | undefined])[]): this {
    const lines = rows.flatMap(([label, text]) => (text ? [`- **${label}** ${escaped(text)}`] : []));
    return lines.length > 0 ? this.add(lines.join('\n')) : this;
  }

  override list(heading: string, lines: readonly string[]): this {
    return lines.length > 0 ? this.add(`### ${escaped(heading)}\n\n\`\`\`\n${lines.join('\n')}\n\`\`\``) : this;
  }

  override code(heading: string, text: string | undefined): this {
    return text?.trim() ? this.add(`### ${escaped(heading)}\n\n${colouredCode(text.trimEnd())}`) : this;
  }
}

/** A text in which nothing is taken for Markdown, but for what stands in backquotes. */
function escaped(text: string): string {
  return text
    .split(/(`[^`]*`)/)
    .map((piece) => (piece.startsWith('`') ? piece : piece.replace(/[\\*_<>[\]#|]/g, '\\$&')))
    .join('');
}
