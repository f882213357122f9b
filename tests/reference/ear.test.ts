// The ear's yardsticks against their sources: onset matching (mir_eval), chord tones (tonal) and shapes (chords-db).
import fc from 'fast-check';
import { Chord, Note } from 'tonal';
import { describe, expect, it } from 'vitest';
import { listen } from '../../app/core/ear/listener.ts';
import type { Expectation, ExpectedChord } from '../../app/core/ear/model.ts';
import { EAR_RATE } from '../../app/core/ear/rate.ts';
import { fMeasure, matchOnsets } from '../bench/ear-set/onset-score.ts';
import { strums } from '../unit/ear/sounds.ts';
import { POSITIONS } from './chords-db.ts';

describe('matchOnsets, as mir_eval.onset defines it (Raffel et al., ISMIR 2014)', () => {
  /** Size of a largest matching, by augmenting paths: the textbook way, as mir_eval's util.match_events does it. */
  function largestMatching(a: readonly number[], b: readonly number[], window: number): number {
    const partner = new Map<number, number>();
    const place = (i: number, tried: Set<number>): boolean =>
      b.some((at, j) => {
        if (Math.abs(at - a[i]!) > window || tried.has(j)) return false;
        tried.add(j);
        const other = partner.get(j);
        if (other !== undefined && !place(other, tried)) return false;
        partner.set(j, i);
        return true;
      });
    return a.filter((_, i) => place(i, new Set())).length;
  }

  it('finds as many pairs as there can be', () => {
    const times = fc
      .array(fc.integer({ min: 0, max: 400 }), { maxLength: 25 })
      .map((all) => all.toSorted((x, y) => x - y));
    fc.assert(
      fc.property(times, times, fc.integer({ min: 1, max: 30 }), (truths, found, window) => {
        const { matched } = matchOnsets(truths, found, window);
        expect(matched).toBe(largestMatching(truths, found, window));
      }),
    );
  });

  it('counts ±50 ms as right, 51 ms as wrong, and each truth once', () => {
    const score = matchOnsets([1, 2, 3], [1.05, 1.06, 2.051, 2.99], 0.05 + 1e-9);
    expect(score.matched).toBe(2);
    // P = 2/4, R = 2/3, F = 2PR/(P + R) = 4/7.
    expect(fMeasure([score])).toBeCloseTo(4 / 7, 12);
  });
});

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
  return { symbol, root: known[0]!, pitchClasses: known, capo: 0, strings: notes };
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
  const listener = listen(expectation, EAR_RATE);
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
