// One program at a time: a lock is refused while its holder lives and taken over when it does not.
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { DirectoryInUse, lockDirectory } from '../../../../app/services/machine/store/lock.ts';
import { temporaryDirectory } from '../samples.ts';

let root: string;
beforeEach(() => {
  root = temporaryDirectory();
});
afterEach(() => fs.rmSync(root, { recursive: true, force: true }));

const lockFile = (): string => path.join(root, 'lock');

function leaveLock(holder: object, ageInMinutes = 0): void {
  fs.writeFileSync(lockFile(), JSON.stringify(holder));
  const touched = new Date(Date.now() - ageInMinutes * 60_000);
  fs.utimesSync(lockFile(), touched, touched);
}

/** The number of a process that has ended. */
const deadPid = (): number => spawnSync(process.execPath, ['-e', '']).pid;

describe('the lock of a data directory', () => {
  it('is refused to a second program, by name, and free after release', () => {
    const lock = lockDirectory(root, 'first');
    expect(() => lockDirectory(root, 'second')).toThrow(DirectoryInUse);
    expect(() => lockDirectory(root, 'second')).toThrow(`process ${process.pid}`);
    lock?.release();
    lockDirectory(root, 'second')?.release();
    expect(fs.existsSync(lockFile())).toBe(false);
  });

  it('is taken over from a process that has ended', () => {
    leaveLock({ pid: deadPid(), host: os.hostname(), token: 'dead' });
    lockDirectory(root, 'next')?.release();
  });

  it('is taken over when nobody has touched it for minutes: its number went to another program', () => {
    leaveLock({ pid: process.pid, host: os.hostname(), token: 'old' }, 3);
    lockDirectory(root, 'next')?.release();
  });

  it('on a shared disk belongs to the other machine as long as that touches it', () => {
    leaveLock({ pid: deadPid(), host: 'another-machine', token: 'there' });
    expect(() => lockDirectory(root, 'here')).toThrow(/another-machine/);
    leaveLock({ pid: deadPid(), host: 'another-machine', token: 'there' }, 3);
    lockDirectory(root, 'here')?.release();
  });

  it('that cannot be read is taken over once it is old', () => {
    leaveLock({});
    expect(() => lockDirectory(root, 'next')).toThrow(/already running/);
    leaveLock({}, 1);
    lockDirectory(root, 'next')?.release();
  });

  it('is not released by somebody whose lock was taken over', () => {
    const mine = lockDirectory(root, 'mine');
    leaveLock({ pid: process.pid, host: os.hostname(), token: 'theirs' });
    mine?.release();
    expect(fs.readFileSync(lockFile(), 'utf8')).toContain('theirs');
  });

  it('is done without where nothing can be written', () => {
    fs.writeFileSync(path.join(root, 'file'), '');
    expect(lockDirectory(path.join(root, 'file', 'below'), 'x')).toBeUndefined();
  });
});
