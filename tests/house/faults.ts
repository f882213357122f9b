// What breaks the rules of the house, each with the file that does and the cure.
import path from 'node:path';
import { circles, wayRound } from './circles.ts';
import type { SourceFile } from './graph.ts';
import { apart, layers, packages } from './layers.ts';
import { readReach } from './reach.ts';

export interface Fault {
  readonly rule:
    | 'no layer'
    | 'layer'
    | 'apart'
    | 'package'
    | 'reach'
    | 'missing'
    | 'file circle'
    | 'folder circle'
    | 'lookup'
    | 'world';
  /** The file, or for a circle its members in order. */
  readonly where: string;
  readonly cure: string;
}

/** @returns Every fault of the sources; none when the house is in order. */
export function findFaults(graph: readonly SourceFile[]): Fault[] {
  const known = new Set(graph.map(({ file }) => file));
  return [
    ...graph.flatMap((source) => [
      ...source.files.flatMap((target) => importFault(known, source.file, target)),
      ...source.packages.flatMap((name) => packageFault(source.file, name)),
    ]),
    ...graph
      .filter(({ file }) => !layerOf(file))
      .map(({ file }) => ({
        rule: 'no layer' as const,
        where: file,
        cure: 'give its folder a row in tests/house/layers.ts',
      })),
    ...circleFaults(
      'file circle',
      edges(graph, (file) => file),
    ),
    ...circleFaults('folder circle', edges(graph, path.posix.dirname)),
    ...readReach(graph)
      .filter(({ files, most }) => files > most)
      .map(({ name, files, most }) => ({
        rule: 'reach' as const,
        where: `${name} pulls in ${files} files, more than ${most}`,
        cure: 'import only what it needs, or move what it needs of a large file into one of its own',
      })),
  ];
}

function importFault(known: ReadonlySet<string>, file: string, target: string): Fault[] {
  const where = `${file} → ${target}`;
  if (!known.has(target)) {
    return [
      { rule: 'missing', where, cure: 'import a file that is there, inside app or renderer' },
    ];
  }
  const from = layerOf(file);
  const to = layerOf(target);
  if (!from || !to) return [];
  if (from !== to && rowOf(from) <= rowOf(to)) {
    return [
      {
        rule: 'layer',
        where,
        cure: `${from} stands below or beside ${to}: move what both need down`,
      },
    ];
  }
  const [here, there] = [screenOf(file), screenOf(target)];
  if (here !== undefined && there !== undefined && here !== there && there !== 'shared') {
    return [
      {
        rule: 'apart',
        where,
        cure: 'no screen knows another: move what both need to parts, state or screens/shared',
      },
    ];
  }
  return apart.some(([a, b]) => inside(file, a) && inside(target, b))
    ? [
        {
          rule: 'apart',
          where,
          cure: `${from} must not know ${to}: go through app/services/contract`,
        },
      ]
    : [];
}

function packageFault(file: string, name: string): Fault[] {
  const home = longest(Object.keys(packages), file);
  const allowed = home === undefined ? [] : packages[home]!;
  const plain = name.startsWith('node:') ? 'node:*' : packageOf(name);
  if (allowed.includes(plain)) return [];
  return [
    {
      rule: 'package',
      where: `${file} → ${name}`,
      cure: `${home ?? file} may use ${allowed.join(', ') || 'no package'}`,
    },
  ];
}

/** The folder of a screen, by its name. */
const screenOf = (file: string): string | undefined =>
  /^renderer\/screens\/([^/]+)\//.exec(file)?.[1];

const packageOf = (name: string): string =>
  name
    .split('/')
    .slice(0, name.startsWith('@') ? 2 : 1)
    .join('/');

function circleFaults(
  rule: 'file circle' | 'folder circle',
  graph: Map<string, Set<string>>,
): Fault[] {
  return circles(graph).map((circle) => ({
    rule,
    where: wayRound(graph, circle).join(' → '),
    cure: `move what they share into one of the ${circle.length}, or below them`,
  }));
}

/** Imports between groups of files; a group is named by `nameOf`. */
export function edges(
  graph: readonly SourceFile[],
  nameOf: (file: string) => string,
): Map<string, Set<string>> {
  const found = new Map<string, Set<string>>();
  for (const { file, files } of graph) {
    const from = nameOf(file);
    const to = found.get(from) ?? new Set();
    for (const target of files) if (nameOf(target) !== from) to.add(nameOf(target));
    found.set(from, to);
  }
  return found;
}

/** The folder of the table that holds a file. */
export function layerOf(file: string): string | undefined {
  if (!layersKnown.has(file)) layersKnown.set(file, longest(layers.flat(), file));
  return layersKnown.get(file);
}

/** By file; the table does not change. */
const layersKnown = new Map<string, string | undefined>();

const rowOf = (layer: string): number => layers.findIndex((row) => row.includes(layer));

const inside = (file: string, folder: string): boolean =>
  file === folder ||
  file.startsWith(`${folder}/`) ||
  (folder.endsWith('/*') && `${path.posix.dirname(file)}/*` === folder);

const longest = (folders: readonly string[], file: string): string | undefined =>
  folders.filter((folder) => inside(file, folder)).sort((a, b) => b.length - a.length)[0];
