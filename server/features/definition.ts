import type { Location, LocationLink, Position } from 'vscode-languageserver';
import type { Meaning } from '../../language/answers/meaning.ts';
import { meaningsAt } from '../../language/answers/meanings-at.ts';
import { sourceOf } from '../../language/answers/occurrences.ts';
import { cellOf } from '../../language/compute/cell.ts';
import { type AstNode, fileOf, itemOf, rangeOf } from '../../language/grammar/syntax.ts';
import type { SourceFile } from '../../language/project.ts';
import type { Workspace } from '../workspace.ts';
import { rangeIn } from './diagnostics.ts';
import { assessedTrees } from './machines.ts';

/**
 * Where what is named at a position is said: a machine's value where it is given, or its formula; a name where it is
 * declared; a used file. From there on it leads one step further, into the kind or the library.
 */
export function definition(file: SourceFile, position: Position, workspace: Workspace): LocationLink[] | Location[] {
  const links = definitionLinks(file, position, workspace);
  if (workspace.client.followLinks) return links;
  return links.map(({ targetUri, targetSelectionRange }) => ({ uri: targetUri, range: targetSelectionRange }));
}

function definitionLinks(file: SourceFile, position: Position, workspace: Workspace): LocationLink[] {
  const meanings = meaningsAt(file, file.lines.offset(position), assessedTrees(file, workspace));
  const [first] = meanings;
  if (!first) return [];
  const origin = rangeIn(file, first.range);
  if (first.uri) return [fileStart(first.uri, origin)];
  const isHere = (node: AstNode) => {
    const { start, end } = rangeOf(node);
    return fileOf(node) === file.parsed.file && start <= first.range.start && end >= first.range.end;
  };
  const all = meanings.flatMap((meaning) => places(meaning, () => false));
  const elsewhere = meanings.flatMap((meaning) => places(meaning, isHere));
  const nodes = [...new Set(elsewhere.length > 0 ? elsewhere : all)];
  return nodes.flatMap((node) => link(node, origin, workspace));
}

/** Where it is said, the nearest place only where one is declared anew: further ones are reached from there. */
function places(meaning: Meaning, isHere: (node: AstNode) => boolean): AstNode[] {
  const declared = meaning.declarations.filter((node) => !isHere(node));
  if (meaning.sort !== 'value') return declared;
  const given = givenAt(meaning);
  return [...(given && !isHere(given) ? [given] : []), ...declared.slice(0, 1)];
}

/** The name in the statement that gives a machine's value. */
function givenAt({ instance, name, declarations }: Meaning): AstNode | undefined {
  const node = cellOf(instance, name)?.definition.node;
  if (node?.$type === 'Measurement') return node.target ?? node;
  if (node?.$type === 'Absence') return node.name ?? node;
  return node && node !== itemOf(node) && !declarations.includes(node.first) ? node.first : undefined;
}

function link(node: AstNode, origin: LocationLink['originSelectionRange'], workspace: Workspace): LocationLink[] {
  const file = sourceOf(node, workspace.project);
  if (!file) return [];
  const targetSelectionRange = rangeIn(file, rangeOf(node));
  const whole = node.$container && node.$container.$type !== 'SpecFile' ? node.$container : node;
  return [
    {
      originSelectionRange: origin,
      targetUri: workspace.uriForClient(file.uri),
      targetRange: rangeIn(file, rangeOf(whole)),
      targetSelectionRange,
    },
  ];
}

function fileStart(targetUri: string, originSelectionRange: LocationLink['originSelectionRange']): LocationLink {
  const start = { line: 0, character: 0 };
  const range = { start, end: start };
  return { originSelectionRange, targetUri, targetRange: range, targetSelectionRange: range };
}
