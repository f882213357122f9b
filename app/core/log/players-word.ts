// The player's word on single changes of a pass, beside what the ear heard: "that was wrong, I played it".
import type { ChangeTold, PassRecord } from '../model/pass.ts';

/** The changes as they count: those the player upholds were right, and when they came is not known. */
export function changesCounted({
  changes = [],
  played = [],
}: Pick<PassRecord, 'changes' | 'played'>): readonly ChangeTold[] {
  if (played.length === 0) return changes;
  const upheld = new Set(played);
  return changes.map((heard): ChangeTold => {
    if (!upheld.has(heard.change)) return heard;
    const { bar, change, from, to } = heard;
    const place = { bar, change, from, to };
    return { ...place, chord: 'right', timing: 'on-time', confidence: 1, byHand: true };
  });
}
