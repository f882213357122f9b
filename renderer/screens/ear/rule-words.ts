// The rule by which the ear calls a pass clean, as half a sentence.
import type { VerdictRule } from '../../../app/core/ear/verdict.ts';
import { percentWords } from '../../parts/words.ts';

/** "9 of 10 changes …": the share in percent, the window in milliseconds or as a share of the beat. */
export function ruleWords({ share, window }: VerdictRule): string {
  const within =
    window.kind === 'ms' ? `${window.ms} ms` : `${percentWords(window.share)} of a beat`;
  return `at least ${percentWords(share)} of its changes are the right chord and within ${within} of their moment`;
}
