// `npm run check:house`: layers, circles and packages of every folder, and plain objects looked up by foreign strings.
// Prints each fault with its cure. Faults listed in known.txt are only counted; `-- --keep` writes that list anew.
import fs from 'node:fs';
import path from 'node:path';
import type { Fault } from './faults.ts';
import { findFaults } from './faults.ts';
import { readGraph } from './graph.ts';
import { foreignLookups, programOf } from './lookups.ts';
import { readSources, root } from './sources.ts';

const graph = readGraph(readSources());
const faults = [...findFaults(graph), ...lookupFaults()];
const line = ({ rule, where }: Fault): string => `${rule}: ${where}`;

const list = path.join(import.meta.dirname, 'known.txt');
if (process.argv.includes('--keep')) fs.writeFileSync(list, `${faults.map(line).join('\n')}\n`);
const known = new Set(fs.existsSync(list) ? fs.readFileSync(list, 'utf8').split('\n') : []);

const fresh = faults.filter((fault) => !known.has(line(fault)));
for (const fault of fresh) console.error(`${line(fault)}\n    ${fault.cure}`);
console.log(
  `${graph.length} files looked at: ${fresh.length} faults, ${faults.length - fresh.length} known ones.`,
);
process.exitCode = fresh.length > 0 ? 1 : 0;

function lookupFaults(): Fault[] {
  return ['app', 'renderer'].flatMap((folder) =>
    foreignLookups(programOf(folder), (file) => file.startsWith(`${slashes(root)}${folder}/`)).map(
      ({ file, text }) => ({
        rule: 'lookup' as const,
        where: `${file} ${text}`,
        cure: 'keep the table in a Map, or ask Object.hasOwn first and put it in a function of its own',
      }),
    ),
  );
}

function slashes(file: string): string {
  return file.split(path.sep).join('/');
}
