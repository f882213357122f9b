// What was done with the shared folder itself, as it goes between the machines of one player: what was taken in or put
// away is not offered on the next one again, and a student's folder is the same one.
import type { Json } from '../../../../core/exchange/shared/facts.ts';
import type { SharedMemory } from '../../shared/memory.ts';
import { type Traveller, valuesOf } from './traveller.ts';

const TAKEN = 'taken:';
const FOLDER = 'folder:';
/** Whether each student has a folder. */
const APART = 'apart:';

/** Which parcels were taken, and which folders stand for which students. */
export const sharedTravel = (memory: SharedMemory): Traveller => ({
  prefixes: [TAKEN, FOLDER, APART],
  studentOf: (key) => (key.startsWith(FOLDER) ? key.slice(FOLDER.length) : undefined),
  values: () => {
    const { taken, folders } = memory.now;
    return valuesOf([
      ...taken.map((hash): [string, Json] => [`${TAKEN}${hash}`, true]),
      ...Object.entries(folders ?? {}).map(([id, name]): [string, Json] => [
        `${FOLDER}${id}`,
        name,
      ]),
      ...(folders ? ([[APART, true]] as const) : []),
    ]);
  },
  take: (values) => {
    const taken = new Set(memory.now.taken);
    const folders = new Map(Object.entries(memory.now.folders ?? {}));
    let apart = memory.now.folders !== undefined;
    for (const [key, value] of values) {
      if (key === APART) apart = value === true;
      else if (key.startsWith(TAKEN)) {
        if (value === true) taken.add(key.slice(TAKEN.length));
        else taken.delete(key.slice(TAKEN.length));
      } else if (typeof value === 'string') folders.set(key.slice(FOLDER.length), value);
      else folders.delete(key.slice(FOLDER.length));
    }
    memory.keep({ taken: [...taken], folders: apart ? Object.fromEntries(folders) : undefined });
    return undefined;
  },
});
