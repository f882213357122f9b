// One owner of a data folder at a time, by a lock that ends with its process; and a folder that goes away is noticed.
import { spawn } from 'node:child_process';
import fs from 'node:fs';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  type DataFolder,
  FolderInUse,
  takeFolder,
} from '../../../app/services/machine/store/data-folder.ts';
import { temporaryDirectory } from './samples.ts';
import { needsLinux, needsUnix } from '../../support/needs.ts';

let root: string;
let folder: DataFolder | undefined;
beforeEach(() => {
  root = path.join(temporaryDirectory(), 'practice');
});
afterEach(() => {
  folder?.release();
  fs.rmSync(path.dirname(root), { recursive: true, force: true });
});

describe('a data folder', () => {
  it('is taken once, and again when it was let go', () => {
    folder = takeFolder(root);
    expect(() => takeFolder(root)).toThrow(FolderInUse);
    folder.release();
    folder = takeFolder(root);
    expect(folder.writable).toBe(true);
  });

  it('is let go by a process that was killed, and by nothing else', async () => {
    const holder = `import { takeFolder } from ${JSON.stringify(
      new URL('../../../app/services/machine/store/data-folder.ts', import.meta.url).href,
    )}; takeFolder(process.argv[1]); console.log('held'); setInterval(() => {}, 1000);`;
    const child = spawn(process.execPath, ['--input-type=module', '-e', holder, root]);
    await new Promise((resolve) => child.stdout.once('data', resolve));
    expect(() => takeFolder(root)).toThrow(FolderInUse);
    // Asleep it holds on, however long: nothing beats, and nothing can go stale.
    child.kill('SIGSTOP');
    expect(() => takeFolder(root)).toThrow(FolderInUse);
    child.kill('SIGKILL');
    await new Promise((resolve) => child.once('close', resolve));
    folder = takeFolder(root);
    expect(folder.writable).toBe(true);
  });

  it('that was moved, replaced or lost its lock is not there any more; put back it is', () => {
    folder = takeFolder(root);
    expect(folder.isHere()).toBe(true);
    fs.renameSync(root, `${root}-moved`);
    expect(folder.isHere()).toBe(false);
    fs.mkdirSync(root);
    expect(folder.isHere()).toBe(false);
    fs.rmdirSync(root);
    fs.renameSync(`${root}-moved`, root);
    expect(folder.isHere()).toBe(true);
    fs.rmSync(path.join(root, 'lock.sqlite'));
    expect(folder.isHere()).toBe(false);
    folder.takeAgain();
    expect(folder.isHere()).toBe(true);
  });

  it('is closed to other users of the machine', needsUnix, () => {
    fs.mkdirSync(root, { mode: 0o755 });
    folder = takeFolder(root);
    expect(fs.statSync(root).mode & 0o777).toBe(0o700);
    expect(fs.statSync(path.join(root, 'lock.sqlite')).mode & 0o777).toBe(0o600);
  });

  // The system says of /proc that it is not there when a folder is made in it, which Node's own way tries for ever.
  it('beneath a folder that takes none is refused at once', needsLinux, () => {
    folder = takeFolder('/proc/rungwise/practice');
    expect(folder.writable).toBe(false);
  });

  it('that cannot be made is no lock and no crash', () => {
    fs.writeFileSync(root, 'a file in the way');
    folder = takeFolder(root);
    expect([folder.writable, folder.isHere()]).toEqual([false, false]);
  });
});
