// The owned tempo in one honest sentence: a number only where the passes support one.
import type { OwnedTempo } from '../../../app/core/progress/owned-tempo.ts';
import { sayInterval, sayJudges, sayTempo } from '../../../app/core/progress/words.ts';

export function ownedWords(owned: OwnedTempo): string {
  if (owned.kind === 'not-enough') return 'Not enough passes yet to say what you own.';
  const band = owned.kind === 'number' ? ` (${sayInterval(owned)})` : '';
  return `Owned tempo ${sayTempo(owned)} bpm${band}, from ${sayJudges(owned.evidence.judgedBy)}.`;
}
