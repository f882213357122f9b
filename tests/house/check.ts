// `npm run check:house`: layers, circles and packages of every folder, what each project knows of page and Node, and
// plain objects looked up by foreign strings.
// Prints each fault with its cure.
import path from 'node:path';
import type { Fault } from './faults.ts';
import { findFaults } from './faults.ts';
import { readGraph } from './graph.ts';
import { foreignLookups, programOf } from './lookups.ts';
import { readReach } from './reach.ts';
import { readSources, root } from './sources.ts';
import { foreignWorlds } from './worlds.ts';

/** Guards itself; all others go through it. */
const OWN = 'app/core/base/own.ts';

const graph = readGraph(readSources());
const programs = (['app/core', 'app', 'renderer'] as const).map((folder) => ({
  folder,
  program: programOf(folder),
}));
const faults = [...findFaults(graph), ...worldFaults(), ...lookupFaults()];
const line = ({ rule, where }: Fault): string => `${rule}: ${where}`;

for (const fault of faults) console.error(`${line(fault)}\n    ${fault.cure}`);
for (const { name, files } of readReach(graph)) console.log(`${name} pulls in ${files} files.`);
console.log(`${graph.length} files looked at: ${faults.length} faults.`);
process.exitCode = faults.length > 0 ? 1 : 0;

function worldFaults(): Fault[] {
  return programs.flatMap(({ folder, program }) => foreignWorlds(folder, program));
}

function lookupFaults(): Fault[] {
  const whole = programs.filter(({ folder }) => folder !== 'app/core');
  return whole.flatMap(({ folder, program }) =>
    foreignLookups(program, (file) => isOurs(file, folder)).map(({ file, text }) => ({
      rule: 'lookup' as const,
      where: `${file} ${text}`,
      cure: `keep the table in a Map, or look it up by own() of ${OWN}`,
    })),
  );
}

function isOurs(file: string, folder: string): boolean {
  const name = slashes(path.relative(root, file));
  return name.startsWith(`${folder}/`) && name !== OWN;
}

function slashes(file: string): string {
  return file.split(path.sep).join('/');
}
