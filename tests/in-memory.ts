// Tests keep their files in memory where the machine has such a place: no disk is waited for, and none is tested.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';

/** A file system in memory, on Linux. */
const MEMORY = '/dev/shm';
const LEAST_BYTES = 2 ** 30;
/** Before the number of the process whose folder it is. */
const NAME = 'rungwise-tests-';

/** Once before all workers start, who take the folder from the environment; gives what tidies up after them. */
export default function setup(): () => void {
  const place = hasRoom() ? MEMORY : os.tmpdir();
  sweep(place);
  const folder = fs.mkdtempSync(path.join(place, `${NAME}${process.pid}-`));
  // A test that becomes another user still finds its own folder in there.
  fs.chmodSync(folder, 0o755);
  process.env['TMPDIR'] = folder;
  return () => fs.rmSync(folder, { recursive: true, force: true, maxRetries: 3 });
}

/** What runs left behind that were killed. */
function sweep(place: string): void {
  for (const name of fs.readdirSync(place)) {
    const owner = name.startsWith(NAME) ? parseInt(name.slice(NAME.length), 10) : NaN;
    if (owner > 0 && !isAlive(owner))
      fs.rmSync(path.join(place, name), { recursive: true, force: true });
  }
}

function isAlive(id: number): boolean {
  try {
    return process.kill(id, 0);
  } catch (error) {
    return (error as NodeJS.ErrnoException).code === 'EPERM';
  }
}

function hasRoom(): boolean {
  try {
    const { bavail, bsize } = fs.statfsSync(MEMORY);
    fs.accessSync(MEMORY, fs.constants.W_OK);
    return bavail * bsize >= LEAST_BYTES;
  } catch {
    return false;
  }
}
