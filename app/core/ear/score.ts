// What is due around a change, as marks of pitches that the network is shown.
import type { Midi } from '../base/units.ts';
import type { Expectation, ExpectedChange, ExpectedChord } from './model.ts';
import { marksOf } from './network/network.ts';
import type { Score } from './network/shape.ts';

/** Where only a chord's name is known, its tones above the capo are marked: from string 6 open to string 1, fret 7. */
const NAMED = { from: 40, to: 71 } as const;

/** The pitches due at a change, before it and after it. The last change has none after it: its own stand there. */
export function scoreOf({ changes }: Expectation, change: ExpectedChange): Score {
  const next = changes.find((c) => c.due > change.due + 1e-6 && c.to !== null);
  return {
    due: marksOf(pitchesOf(change.to)),
    before: marksOf(pitchesOf(change.from)),
    next: marksOf(pitchesOf(next?.to ?? change.to)),
  };
}

/** What must sound, from low to high; near the nut where only the name is known. */
export function pitchesOf(chord: ExpectedChord | null): readonly Midi[] {
  if (!chord) return [];
  if (chord.strings) return chord.strings.filter((m) => m !== null);
  const { lift, pitchClasses } = chord;
  const near = Array.from({ length: NAMED.to - NAMED.from + 1 }, (_, i) => NAMED.from + lift + i);
  return near.filter((midi) => pitchClasses.includes(midi % 12));
}
