// Makes a folder and those above it, one by one.
import fs from 'node:fs';
import path from 'node:path';

/**
 * Closed to other users. Node's own `mkdir -p` never returns where the system says of a folder that is there that it
 * is not, as under /proc.
 * @throws Error with the system's code where it cannot be made.
 */
export function makeFolder(folder: string): void {
  if (fs.existsSync(folder)) return;
  const above = path.dirname(folder);
  if (above !== folder) makeFolder(above);
  try {
    fs.mkdirSync(folder, { mode: 0o700 });
  } catch (error) {
    // Another program may have made it meanwhile.
    if (!fs.existsSync(folder)) throw error;
  }
}
