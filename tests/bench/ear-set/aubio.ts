// The peer: Debian's aubioonset on the same file, at its usual settings.
import { execFileSync } from 'node:child_process';
import type { Seconds } from '../../../app/core/base/units.ts';

/** @throws Error when aubioonset (Debian package aubio-tools) is not installed. */
export function aubioOnsets(wav: string): Seconds[] {
  return execFileSync('aubioonset', [wav], {
    encoding: 'utf8',
    stdio: ['ignore', 'pipe', 'ignore'],
  })
    .split('\n')
    .filter((line) => line.trim() !== '')
    .map(Number);
}
