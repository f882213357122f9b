// How much of the house a file or a folder pulls in, over all that it imports and what these import in turn.
import type { SourceFile } from './graph.ts';
import { reaches } from './layers.ts';

export interface Reach {
  readonly name: string;
  /** Files outside it. */
  readonly files: number;
  readonly most: number;
}

/** What stands in the table, and of the parts the one that reaches most. */
export function readReach(graph: readonly SourceFile[]): Reach[] {
  const imports = new Map(graph.map(({ file, files }) => [file, files]));
  return Object.entries(reaches).map(([name, most]) => {
    const folder = `${name.replace(/\/\*$/, '')}/`;
    const inside = [...imports.keys()].filter((file) => file === name || file.startsWith(folder));
    if (!name.endsWith('/*')) return { name, files: outside(imports, inside), most };
    const each = inside.map((file) => ({ name: file, files: outside(imports, [file]), most }));
    return each.toSorted((a, b) => b.files - a.files)[0] ?? { name, files: 0, most };
  });
}

function outside(imports: ReadonlyMap<string, readonly string[]>, from: readonly string[]): number {
  const seen = new Set(from);
  for (const file of seen) for (const next of imports.get(file) ?? []) seen.add(next);
  return seen.size - from.length;
}
