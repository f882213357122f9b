// The rule by which the ear calls a pass clean, as half a sentence.
import type { VerdictRule } from '../../../app/core/ear/verdict.ts';
import { percentWords } from '../../page/words.ts';

/** "at least 90 % of its changes are the right chord and within 12.5 % of a beat of their moment". */
export function ruleWords({ share, window }: VerdictRule): string {
  const within =
    window.kind === 'ms'
      ? `${window.ms} ms`
      : `${Math.round(window.share * 1000) / 10} % of a beat`;
  return `at least ${percentWords(share)} of its changes are the right chord and within ${within} of their moment`;
}
