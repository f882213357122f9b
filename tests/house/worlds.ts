// Whether a project knows a world that is not its own: the types of one library are enough to bring it in.
import type ts from 'typescript';
import type { Fault } from './faults.ts';

const NODE = { name: 'Node', types: '/@types/node/' };
const PAGE = { name: 'the page', types: '/lib.dom.' };

const FOREIGN = { 'app/core': [NODE, PAGE], app: [PAGE], renderer: [NODE] };

/** Each world whose types stand in the program of a folder that must not know it. */
export function foreignWorlds(folder: keyof typeof FOREIGN, program: ts.Program): Fault[] {
  const files = program.getSourceFiles().map(({ fileName }) => fileName);
  return FOREIGN[folder]
    .filter(({ types }) => files.some((file) => file.includes(types)))
    .map(({ name }) => ({
      rule: 'world',
      where: `${folder} knows ${name}`,
      cure: `\`tsc -p ${folder} --noEmit --explainFiles\` says which file brings it in`,
    }));
}
