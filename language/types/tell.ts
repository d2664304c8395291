import type { Member as MemberNode } from '../grammar/generated/ast.ts';
import { type AstNode, rangeOf } from '../grammar/syntax.ts';
import type { Severity, TextEdit, Wording } from '../mistakes/mistake.ts';
import type { Kind } from '../names/kind.ts';
import { withArticle } from '../units/display.ts';

/** A change of text that mends something. Positions are read when it is asked for, never stored. */
export interface TextFix {
  readonly title: string;
  readonly range: () => { start: number; end: number };
  readonly text: string;
  /** What changes elsewhere with it. */
  readonly also?: () => readonly TextEdit[];
}

/** A mistake at a node, which stays the same wherever the node moves to. */
export interface NodeMistake {
  readonly code: string;
  readonly severity: Severity;
  readonly message: string;
  readonly node: AstNode;
  readonly fixes: readonly TextFix[];
}

export type Report = (mistake: NodeMistake) => void;

/** A mistake in the text of a node, with what would mend it. */
export function nodeMistake(node: AstNode, { kind, message }: Wording, ...fixes: TextFix[]): NodeMistake {
  return { code: kind.code, severity: kind.severity, message, node, fixes };
}

export function tell(report: Report, node: AstNode, wording: Wording, ...fixes: TextFix[]): void {
  report(nodeMistake(node, wording, ...fixes));
}

/** Replaces the text of a node. */
export function replace(node: AstNode, text: string, title = `Write ${text}`): TextFix {
  return { title, range: () => rangeOf(node), text };
}

/** What was probably meant in place of a node, where something is near. */
export function replaceWithNearest(node: AstNode, near: string | undefined): TextFix[] {
  return near ? [replace(node, near)] : [];
}

/** A kind in words: `a hot end`. */
export const kindInWords = (kind: Kind) => withArticle(kind.name.replaceAll('_', ' '));

export function statementWord(node: MemberNode): string {
  return node.$type === 'Clause' ? node.keyword : node.$type === 'Check' ? node.what : node.$type.toLowerCase();
}

/** The outermost expression around a mistake: it cannot be computed as it stands, and what depends on it is not known. */
export function expressionAround(node: AstNode): AstNode | undefined {
  let outermost: AstNode | undefined;
  for (let at: AstNode | undefined = node; at; at = at.$container) {
    if (isStatement(at)) break;
    outermost = at;
  }
  return outermost;
}

const statements = new Set([
  'Entry',
  'Requirement',
  'Acceptance',
  'Measurement',
  'Checked',
  'Setting',
  'Check',
  'Alteration',
  'Clause',
  'Message',
  'Remedy',
  'Follows',
  'Row',
  'Has',
  'Declaration',
  'Body',
  'SpecFile',
]);
function isStatement(node: AstNode): boolean {
  return statements.has(node.$type);
}
