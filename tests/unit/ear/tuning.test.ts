// The tuning that is read equals the tuning that was played, from −45 to +45 cents, and farther where it is known what was due.
import { describe, expect, it } from 'vitest';
import { soundFrames } from '../../../app/core/ear/frames.ts';
import { NO_TUNING, hearTuning, tuningOf } from '../../../app/core/ear/tuning.ts';
import { CHORDS, add, harmonics } from './sounds.ts';

describe('tuningOf', () => {
  // Equal temperament: f = 440·2^((n−69)/12) times 2^(cents/1200), computable.
  it.each([-45, -20, -3, 0, 12, 30, 45])('reads %i cents off a chord', (cents) => {
    const chord = CHORDS.C.map((midi) => harmonics(midi, cents, 0.8)).reduce((a, b) => add(a, b));
    const frames = soundFrames();
    frames.advance(chord, chord.length);
    const tuning = tuningOf(hearTuning(NO_TUNING, frames, { began: 0, until: 0.5 }));
    expect(Math.abs(tuning - cents)).toBeLessThan(6);
  });

  it.each([-62, -52, -45, 45, 52, 62])('tells %i cents by the pitches that were due', (cents) => {
    const chord = CHORDS.C.map((midi) => harmonics(midi, cents, 0.8)).reduce((a, b) => add(a, b));
    const frames = soundFrames();
    frames.advance(chord, chord.length);
    const tuning = tuningOf(hearTuning(NO_TUNING, frames, { began: 0, until: 0.5, due: CHORDS.C }));
    expect(Math.abs(tuning - cents)).toBeLessThan(6);
  });

  it('is 0 before anything was heard', () => {
    expect(tuningOf(NO_TUNING)).toBe(0);
  });
});
