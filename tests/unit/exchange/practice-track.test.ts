// Rung after rung as one track, and its WAVE file piece by piece.
import { describe, expect, it } from 'vitest';
import { practiceTrack, type TrackOptions } from '../../../app/core/exchange/practice-track.ts';
import { wavHeader } from '../../../app/core/exchange/wave/riff.ts';
import { writeWav } from '../../../app/core/exchange/wave/write.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { emptyBars, PLAIN, unitOf } from '../timeline/examples.ts';
import { FULL_LEVELS } from '../../support/levels.ts';

const unit = unitOf(emptyBars(2));
const OPTIONS: TrackOptions = {
  tempos: [60, 120],
  passes: 2,
  lap: { ...PLAIN, restBars: 1 },
  click: 'all',
};

describe('practiceTrack', () => {
  it('plays each rung as often as asked, each pass with count-in and rest', () => {
    const track = unwrap(practiceTrack(unit, OPTIONS));
    expect(track.laps.map(({ lap, startsAt }) => [lap.bpm, startsAt])).toEqual([
      [60, 0],
      [60, 16],
      [120, 32],
      [120, 40],
    ]);
    expect(track.end).toBe(48);
  });

  it('plays straight on within a rung when there are no rest bars', () => {
    const track = unwrap(practiceTrack(unit, { ...OPTIONS, lap: PLAIN }));
    expect(track.laps.map(({ lap }) => lap.unitStart)).toEqual([4, 0, 2, 0]);
  });

  const refused: readonly (readonly [Partial<TrackOptions>, string])[] = [
    [{ tempos: [60, 500] }, '500 bpm is not a tempo this program plays.'],
    [{ tempos: [Number.NaN] }, 'NaN bpm is not a tempo this program plays.'],
    [{ tempos: [] }, 'There is no rung or no pass to put into the file.'],
    [{ passes: 0 }, 'There is no rung or no pass to put into the file.'],
    [{ passes: 1e9 }, 'The file would last 6666666.7 hours; three hours are the most.'],
  ];
  it.each(refused)('refuses %o', (options, message) => {
    const result = practiceTrack(unit, { ...OPTIONS, ...options });
    expect(result.ok ? [] : result.problems.map((p) => p.message)).toEqual([message]);
  });
});

describe('writeWav', () => {
  const track = unwrap(practiceTrack(unit, OPTIONS));

  it('tells how much is done, and that all is', () => {
    const done = [...writeWav(track, FULL_LEVELS, 8_000)].map((piece) => piece.done);
    expect(done[0]).toBe(0);
    expect(done.at(-1)).toBe(1);
    expect(done).toEqual(done.toSorted((a, b) => a - b));
    expect(done.length).toBeGreaterThan(5);
  });

  it('can be left off at any piece', () => {
    const pieces = writeWav(track, FULL_LEVELS, 8_000);
    pieces.next();
    pieces.return();
    expect(pieces.next().done).toBe(true);
  });

  it('is silence at level 0', () => {
    const silent = { ...FULL_LEVELS, count: 0, bar: 0, beat: 0, rest: 0, change: 0, model: 0 };
    const [, ...sound] = writeWav(track, silent, 8_000);
    expect(sound.every((piece) => piece.bytes.every((byte) => byte === 0))).toBe(true);
  });

  it('cannot write more than a WAVE file can count', () => {
    expect(() => wavHeader(2 ** 31, 48_000)).toThrow('a WAVE file holds 0 to 2147483629');
  });
});
