// The tempo that is yours in one honest sentence: a number only where the passes support one.
import type { OwnedTempo, Surer } from '../../../app/core/progress/owned-tempo.ts';
import { sayInterval, sayJudges, sayLacking, sayTempo } from '../../../app/core/progress/words.ts';

/** @param surer what the figure still lacks. */
export function ownedWords(owned: OwnedTempo, surer: Surer): string {
  if (owned.kind === 'not-enough') {
    return `Your tempo cannot be told yet. It takes ${sayLacking(surer)}.`;
  }
  const band = owned.kind === 'number' ? ` (${sayInterval(owned)})` : '';
  return `Your tempo is ${sayTempo(owned)} bpm${band}, from ${sayJudges(owned.evidence.judgedBy)}.`;
}
