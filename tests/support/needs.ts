// What a test needs that a machine may lack: there it is skipped, and the run ends with the reason (tests/suites.ts).
import { spawnSync } from 'node:child_process';

declare module 'vitest' {
  interface TaskMeta {
    missing?: string;
  }
}

/**
 * Options of a test or of a group of them.
 * @param missing Says what is not here, for the end of the run.
 */
export const needs = (
  there: boolean,
  missing: string,
): { skip?: true; meta?: { missing: string } } => (there ? {} : { skip: true, meta: { missing } });

/** A program of the system, asked for its version. */
export const needsProgram = (name: string, ...args: readonly string[]): ReturnType<typeof needs> =>
  needs(spawnSync(name, args).status === 0, `${name} is not installed here`);

export const needsLinux = needs(process.platform === 'linux', 'this is not Linux');
export const needsUnix = needs(process.platform !== 'win32', 'this is Windows');
