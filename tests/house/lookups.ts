// Finds plain objects that are looked up by a string from outside: `table[word]` finds `constructor`, too.
import path from 'node:path';
import ts from 'typescript';
import { root } from './sources.ts';

export interface Lookup {
  /** From the root, with `/`. */
  readonly file: string;
  readonly text: string;
}

/**
 * Element accesses and `in` tests by a key of type `string` on an object that inherits from `Object.prototype`.
 * A key whose type is a closed list is safe; so is one that was only claimed to be (`word as Kind`), which is found.
 */
export function foreignLookups(program: ts.Program, isOurs: (file: string) => boolean): Lookup[] {
  const checker = program.getTypeChecker();
  const found: Lookup[] = [];
  for (const source of program.getSourceFiles()) {
    if (!isOurs(source.fileName)) continue;
    const visit = (node: ts.Node): void => {
      if (isForeign(checker, node)) found.push(describe(source, node));
      ts.forEachChild(node, visit);
    };
    visit(source);
  }
  return found;
}

function isForeign(checker: ts.TypeChecker, node: ts.Node): boolean {
  if (ts.isElementAccessExpression(node)) {
    return isWritten(node)
      ? false
      : isOpenKey(checker, node.argumentExpression) && isTable(checker, node.expression);
  }
  return (
    ts.isBinaryExpression(node) &&
    node.operatorToken.kind === ts.SyntaxKind.InKeyword &&
    isOpenKey(checker, node.left) &&
    isTable(checker, node.right)
  );
}

/** `table[key] = value` puts in and looks nothing up. */
const isWritten = (node: ts.ElementAccessExpression): boolean =>
  ts.isBinaryExpression(node.parent) &&
  node.parent.left === node &&
  node.parent.operatorToken.kind === ts.SyntaxKind.EqualsToken;

function isOpenKey(checker: ts.TypeChecker, key: ts.Expression): boolean {
  const plain =
    ts.isParenthesizedExpression(key) || ts.isNonNullExpression(key) ? key.expression : key;
  if (ts.isAsExpression(plain)) return isOpenKey(checker, plain.expression);
  return (checker.getTypeAtLocation(plain).flags & ts.TypeFlags.String) !== 0;
}

function isTable(checker: ts.TypeChecker, table: ts.Expression): boolean {
  const type = checker.getNonNullableType(checker.getTypeAtLocation(table));
  const isList = checker.isArrayType(type) || checker.isTupleType(type);
  return (
    !isList &&
    (type.flags & (ts.TypeFlags.Object | ts.TypeFlags.Intersection | ts.TypeFlags.Union)) !== 0
  );
}

const describe = (source: ts.SourceFile, node: ts.Node): Lookup => ({
  file: path.relative(root, source.fileName).split(path.sep).join('/'),
  text: node.getText(source),
});

/** The program of a folder's own `tsconfig.json`. */
export function programOf(folder: string): ts.Program {
  const { fileNames, options } = project(folder);
  return ts.createProgram(fileNames, options);
}

export const projectOptions = (folder: string): ts.CompilerOptions => project(folder).options;

function project(folder: string): ts.ParsedCommandLine {
  const file = path.join(root, folder, 'tsconfig.json');
  const { config } = ts.readConfigFile(file, ts.sys.readFile) as { config: unknown };
  return ts.parseJsonConfigFileContent(config, ts.sys, path.dirname(file));
}
