// `npm run house:draw`: draws the house from its imports into DEVELOPERS.md, as a Mermaid picture of layers.
import fs from 'node:fs';
import path from 'node:path';
import { edges, layerOf } from './faults.ts';
import { readGraph } from './graph.ts';
import { layers } from './layers.ts';
import { readSources, root } from './sources.ts';

const [BEGIN, END] = [
  '<!-- the house, drawn by npm run house:draw -->',
  '<!-- the end of the house -->',
];

/** Arrows to whatever is imported, except what a nearer neighbour imports as well. */
function picture(): string {
  const graph = readGraph(readSources()).filter(({ file }) => layerOf(file));
  const imports = edges(graph, (file) => layerOf(file) ?? file);
  const reach = (name: string, seen = new Set<string>()): Set<string> => {
    for (const next of imports.get(name) ?? []) if (!seen.has(next)) reach(next, seen.add(next));
    return seen;
  };
  const arrows = [...imports].flatMap(([from, to]) =>
    [...to]
      .filter((target) => ![...to].some((other) => other !== target && reach(other).has(target)))
      .map((target) => `  ${id(from)} --> ${id(target)}`),
  );
  const known = layers.flat().filter((name) => imports.has(name));
  const names = known.map((name) => `  ${id(name)}["${name}"]`);
  return ['```mermaid', 'flowchart TD', ...names.toReversed(), ...arrows.toSorted(), '```'].join(
    '\n',
  );
}

const id = (name: string): string => name.replace(/[^a-z]/gi, '_');

const file = path.join(root, 'DEVELOPERS.md');
const text = fs.readFileSync(file, 'utf8');
const [before, after] = [text.indexOf(BEGIN), text.indexOf(END)];
if (before < 0 || after < 0)
  throw new Error(`DEVELOPERS.md has no place for the picture: ${BEGIN}`);
fs.writeFileSync(file, `${text.slice(0, before)}${BEGIN}\n\n${picture()}\n\n${text.slice(after)}`);
