// Unit tests keep their files in memory where the machine has such a place: no disk is waited for, and none is tested.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';

/** A file system in memory, on Linux. */
const MEMORY = '/dev/shm';
const LEAST_BYTES = 2 ** 30;

/** Once before all workers start, who take the folder from the environment; gives what tidies up after them. */
export default function setup(): () => void {
  const folder = fs.mkdtempSync(path.join(hasRoom() ? MEMORY : os.tmpdir(), 'rungwise-unit-'));
  // A test that becomes another user still finds its own folder in there.
  fs.chmodSync(folder, 0o755);
  process.env['TMPDIR'] = folder;
  return () => fs.rmSync(folder, { recursive: true, force: true, maxRetries: 3 });
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
