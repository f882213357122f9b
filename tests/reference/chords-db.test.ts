// Pitches, names and first shapes against the 2,069 guitar positions of `@tombatossals/chords-db` 0.5.1 (npm).
import { expect, test } from 'vitest';
import { Note } from 'tonal';
import { printFrets } from '../../app/core/fretboard/frets.ts';
import { soundingPitches } from '../../app/core/fretboard/shape.ts';
import { pitchesOf } from '../../app/core/fretboard/capo.ts';
import { STANDARD } from '../../app/core/harmony/tunings.ts';
import type { SoundingChord } from '../../app/core/model/chord.ts';
import { type ChordName, nameNotes } from '../../app/core/harmony/naming.ts';
import { readChord } from '../../app/core/harmony/read.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { type Position, OPEN_STRINGS, POSITIONS, agreement, contradictions } from './chords-db.ts';

test('its standard tuning is ours', () =>
  expect(OPEN_STRINGS.map((name) => Note.midi(name))).toEqual(STANDARD.strings));

test('it has 2,069 positions, and our pitches equal its midi in every one', () => {
  expect(POSITIONS).toHaveLength(2069);
  for (const { symbol, frets, midi } of POSITIONS) {
    const ours = soundingPitches(pitchesOf(frets, STANDARD.strings));
    expect(ours, `${symbol} ${printFrets(frets)}`).toEqual(midi);
  }
});

const semitones = (chord: SoundingChord) =>
  [...new Set(chord.tones.map((tone) => tone.semitones % 12))].sort((a, b) => a - b).join();

/** Same root and the same tones above it, or the very word (our 11th may have a third, the library's not). */
function isNamed({ chord }: Position, names: readonly ChordName[]): boolean {
  return names.some((name) => {
    if (name.rootPc !== chord.rootPc) return false;
    const meant = unwrap(readChord(name.symbol)) as SoundingChord;
    return name.quality === chord.quality || semitones(meant) === semitones(chord);
  });
}

test('naming its notes returns its chord among the answers, unless its notes are not its chord', () => {
  const unnamed = POSITIONS.filter((position) => {
    const names = nameNotes(position.midi);
    return !names.ok || !isNamed(position, names.value);
  });
  for (const position of unnamed) {
    expect(contradictions(position), position.symbol).not.toEqual([]);
  }
  const list = unnamed.map(
    (p) => `${p.symbol} ${printFrets(p.frets)}: ${contradictions(p).join(', ')}`,
  );
  expect(list).toMatchSnapshot('positions whose notes are not their chord');
  expect(unnamed.length).toBeLessThanOrEqual(28);
});

test('its first position is shown with our best three shapes for 9 in 10 of the 132 common chords', () => {
  const { of, leading, listed, exceptions } = agreement();
  expect(of).toBe(132);
  console.log(
    `chords-db first positions, fret for fret: ${listed} of ${of} shown with our best three ` +
      `shapes, ${leading} as one of them, the others as a variant beside one`,
  );
  expect({ leading, listed, exceptions }).toMatchSnapshot('agreement and exceptions');
  expect(listed / of).toBeGreaterThanOrEqual(0.9);
});
