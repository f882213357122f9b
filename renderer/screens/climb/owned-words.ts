// The owned tempo in one honest sentence: a number only where the passes support one.
import type { OwnedTempo } from '../../../app/core/progress/owned-tempo.ts';
import { bpmWords } from '../../page/words.ts';

export function ownedWords(owned: OwnedTempo): string {
  switch (owned.kind) {
    case 'number':
      return `Owned tempo ${bpmWords(Math.round(owned.bpm))} bpm (between ${Math.round(owned.low)} and ${Math.round(owned.high)}), from the passes in the log.`;
    case 'at-least':
      return `Owned tempo at least ${bpmWords(Math.round(owned.bpm))} bpm, from the passes in the log.`;
    case 'below':
      return `Not yet owned at ${bpmWords(Math.round(owned.bpm))} bpm, from the passes in the log.`;
    case 'not-enough':
      return 'Not enough passes yet to say what you own.';
  }
}
