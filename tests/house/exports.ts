import { dirname, join } from 'node:path/posix';
import ts from 'typescript';
import type { SourceFile } from './sources.ts';

/** Where a program starts, or others' programs take hold: who uses it imports nothing by name here. */
const starts = /^(client\/extension(-web)?|server\/main|server\/cli\/main|server\/api)\.ts$/;

/** The names that a file exports, where it declares them. */
function exportsOf(source: ts.SourceFile): string[] {
  return source.statements.flatMap((statement) => {
    if (ts.isExportDeclaration(statement) && !statement.moduleSpecifier && statement.exportClause)
      return ts.isNamedExports(statement.exportClause)
        ? statement.exportClause.elements.map(({ name }) => name.text)
        : [];
    if (!ts.canHaveModifiers(statement)) return [];
    if (!ts.getModifiers(statement)?.some(({ kind }) => kind === ts.SyntaxKind.ExportKeyword)) return [];
    if (ts.isVariableStatement(statement))
      return statement.declarationList.declarations.flatMap(({ name }) => (ts.isIdentifier(name) ? [name.text] : []));
    const { name } = statement as ts.Statement & { name?: ts.Node };
    if (!name || !ts.isIdentifier(name)) return [];
    // A type that the file's other exports speak of is theirs to be read by.
    const isSpokenOf = ts.isInterfaceDeclaration(statement) || ts.isTypeAliasDeclaration(statement);
    return isSpokenOf && source.text.split(new RegExp(`\\b${name.text}\\b`)).length > 2 ? [] : [name.text];
  });
}

/** What a file imports or hands on, as `file name`; `file *` where it takes all. */
function importsOf(path: string, source: ts.SourceFile): string[] {
  const at = (to: string) => join(dirname(path), to);
  const found: string[] = [];
  const visit = (node: ts.Node): void => {
    if (ts.isImportDeclaration(node) && ts.isStringLiteral(node.moduleSpecifier)) {
      const bound = node.importClause?.namedBindings;
      if (bound && ts.isNamespaceImport(bound)) found.push(`${at(node.moduleSpecifier.text)} *`);
      for (const { propertyName, name } of bound && ts.isNamedImports(bound) ? bound.elements : [])
        found.push(`${at(node.moduleSpecifier.text)} ${(propertyName ?? name).text}`);
    } else if (ts.isExportDeclaration(node) && node.moduleSpecifier && ts.isStringLiteral(node.moduleSpecifier)) {
      const { exportClause } = node;
      if (!exportClause || ts.isNamespaceExport(exportClause)) found.push(`${at(node.moduleSpecifier.text)} *`);
      else
        for (const { propertyName, name } of exportClause.elements)
          found.push(`${at(node.moduleSpecifier.text)} ${(propertyName ?? name).text}`);
    } else if (ts.isImportTypeNode(node) && ts.isLiteralTypeNode(node.argument)) {
      found.push(`${at((node.argument.literal as ts.StringLiteral).text)} *`);
    } else if (ts.isCallExpression(node) && node.expression.kind === ts.SyntaxKind.ImportKeyword) {
      const [to] = node.arguments;
      if (to && ts.isStringLiteral(to)) found.push(`${at(to.text)} *`);
    }
    // Elsewhere than at the top only imports by call, or of a type, can stand.
    if (node === source || source.text.includes('import(')) ts.forEachChild(node, visit);
  };
  visit(source);
  return found;
}

const known = new Map<string, { readonly text: string; readonly source: ts.SourceFile }>();
function parsed({ path, text }: SourceFile): ts.SourceFile {
  const before = known.get(path);
  if (before?.text === text) return before.source;
  const source = ts.createSourceFile(path, text, ts.ScriptTarget.Latest);
  known.set(path, { text, source });
  return source;
}

/** Exports that no other of these files imports, as `file name`. */
export function unusedExports(files: readonly SourceFile[], importers: readonly SourceFile[] = files): string[] {
  const used = new Set(importers.flatMap((file) => importsOf(file.path, parsed(file))));
  return files.flatMap((file) =>
    starts.test(file.path) || used.has(`${file.path} *`)
      ? []
      : exportsOf(parsed(file))
          .map((name) => `${file.path} ${name}`)
          .filter((each) => !used.has(each)),
  );
}
