// The ear against published shapes: chord tones from tonal, shapes from chords-db, played by the model guitar.
import { Chord, Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import { listen } from '../../app/core/ear/listener.ts';
import type { Expectation, ExpectedChord } from '../../app/core/ear/model.ts';
import { strums, RATE } from '../unit/ear/sounds.ts';
import { POSITIONS } from './chords-db.ts';
import { NETWORK } from '../support/network.ts';

const ROOTS = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const SYMBOLS = ROOTS.flatMap(
  (root) =>
    [
      [root, `${root}m`],
      [`${root}m`, root],
      [`${root}7`, `${root}m7`],
    ] as const,
);

/** Tones as `tonal` knows them; the shape's own where it leaves one out. */
function chordOf(symbol: string, notes: readonly number[]): ExpectedChord {
  const known = Chord.get(symbol).notes.map((note) => Note.chroma(note));
  return { symbol, root: known[0]!, pitchClasses: known, lift: 0, strings: notes };
}

/** One chord struck twice, listened to as if `expected` were due. */
function verdictOn(notes: readonly number[], expected: ExpectedChord) {
  const times = [0.6, 1.1];
  const expectation: Expectation = {
    beat: 0.5,
    clicks: [],
    strokes: times.map((at) => ({ at, direction: 'down', muted: false })),
    changes: [
      {
        ...{ bar: 0, change: 0, due: 0.6, until: 1.6, from: null, to: expected },
        names: { from: '', to: expected.symbol },
        struck: true,
        sounds: true,
      },
    ],
  };
  const listener = listen(expectation, RATE, NETWORK);
  const sound = strums(
    times.map((at) => ({ at, notes })),
    2,
  );
  return [...listener.push(sound), ...listener.finish()][0]!;
}

// The model guitar has a sound that no training has met; the shapes come from chords-db, the tones from tonal.
describe('shapes of chords-db played by the model guitar', () => {
  const verdicts = SYMBOLS.map(([symbol, mistaken]) => {
    const notes = POSITIONS.find((p) => p.symbol === symbol && p.index === 0)!.midi;
    return {
      symbol,
      own: verdictOn(notes, chordOf(symbol, notes)).chord,
      other: verdictOn(notes, { ...chordOf(mistaken, notes), strings: undefined }).chord,
    };
  });

  it('are told right under their own symbol, at least 98 in 100', () => {
    const wrong = verdicts.filter(({ own }) => own !== 'right').map(({ symbol }) => symbol);
    expect(wrong.length).toBeLessThanOrEqual(0.02 * verdicts.length);
  });

  it('are never told right under the symbol with the other third', () => {
    expect(verdicts.filter(({ other }) => other === 'right')).toEqual([]);
  });
});
