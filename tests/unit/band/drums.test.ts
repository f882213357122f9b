// Drums against the groove's definition: what is struck on which beat, swing in seconds, fills, stops, words.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rolesOf } from '../../../app/core/band/groove.ts';
import type { SectionRole } from '../../../app/core/model/unit.ts';
import { BASS_WORDS } from '../../../app/core/model/band.ts';
import { BASS_HIGH, BASS_LOW, type DrumVoice } from '../../../app/core/band/model.ts';
import { parseStrum } from '../../../app/core/rhythm/strum.ts';
import { meterOf } from '../../../app/core/rhythm/meter.ts';
import { rational } from '../../../app/core/base/rational.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { runs } from '../../support/runs.ts';
import { charts } from '../chart/arbitrary.ts';
import { emptyBars, PLAIN, SWING_8, unitOf } from '../timeline/examples.ts';
import { bandAt, changed, timesOf, withWords } from './example.ts';

const chord = { chords: [['G', 0]] } as const;
const bars = (count: number, meter = meterOf(4, 4)) =>
  unitOf([chord, ...emptyBars(count - 1)], meter);

describe('the groove of a meter', () => {
  // Common practice, no source.
  it.each([
    ['4/4', meterOf(4, 4), ['kick', 'snare', 'kick', 'snare']],
    ['2/4', meterOf(2, 4), ['kick', 'snare']],
    ['3/4', meterOf(3, 4), ['kick', 'lift', 'lift']],
    ['5/4', meterOf(5, 4), ['kick', 'none', 'snare', 'kick', 'snare']],
    ['6/4', meterOf(6, 4), ['kick', 'none', 'snare', 'kick', 'none', 'snare']],
    ['6/8', meterOf(6, 8), ['kick', 'snare']],
    ['9/8', meterOf(9, 8), ['kick', 'lift', 'lift']],
    ['12/8', meterOf(12, 8), ['kick', 'snare', 'kick', 'snare']],
    ['7/8', meterOf(7, 8), ['kick', 'none', 'snare']],
    ['7/8 as 3+2+2', { ...meterOf(7, 8), grouping: [3, 2, 2] }, ['kick', 'none', 'snare']],
    ['5/8', meterOf(5, 8), ['kick', 'snare']],
  ])('%s', (_, meter, roles) => expect(rolesOf(meter)).toEqual(roles));

  it('in half-time has one snare, in the middle', () => {
    expect(rolesOf(meterOf(4, 4), 'half-time')).toEqual(['kick', 'none', 'snare', 'none']);
  });
});

describe('drums', () => {
  it('play kick and snare on the beats that the groove names', () => {
    const { drums } = bandAt(bars(2));
    expect(timesOf(drums, 'snare')).toEqual([1, 3, 5, 7]);
    expect(timesOf(drums, 'kick')).toEqual(expect.arrayContaining([0, 2, 4, 6]));
  });

  it('play the bass drum on one and soft strokes on two and three of a waltz', () => {
    const { drums } = bandAt(bars(1, meterOf(3, 4)));
    expect(timesOf(drums, 'kick')).toEqual([0]);
    expect(timesOf(drums, 'rim')).toEqual([1, 2]);
  });

  it('count 12/8 in four and mark its eighths', () => {
    const { drums } = bandAt(bars(1, meterOf(12, 8)), { bpm: 30 });
    expect(timesOf(drums, 'snare')).toEqual([2, 6]);
    expect(timesOf(drums, 'hat')).toHaveLength(12);
  });

  it('swing: at 2:1 the second eighth comes two thirds of a second into a beat of one', () => {
    const { drums } = bandAt(unitOf([{ ...chord, feel: SWING_8 }]));
    const off = timesOf(drums, 'hat').filter((t) => t % 1 !== 0);
    expect(off).toEqual([0, 1, 2, 3].map((beat) => beat + 0.666667));
  });

  it('swing sixteenths where the feel does', () => {
    const feel = { kind: 'swing', value: 16, long: 2, short: 1 } as const;
    const { drums } = bandAt(unitOf([{ ...chord, feel }]));
    expect(timesOf(drums, 'hat').slice(0, 4)).toEqual([0, 0.333333, 0.5, 0.833333]);
  });

  it('divide the beat as the guitar does, and thin out where hands could not follow', () => {
    const strum = unwrap(parseStrum('sixteenths DUDU DUDU DUDU DUDU'));
    const unit = changed(bars(1), () => ({ strum }));
    const hats = (bpm: number) => timesOf(bandAt(unit, { bpm }).drums, 'hat').length;
    expect([60, 200, 400].map(hats)).toEqual([16, 8, 4]);
  });

  it('fill the last beats before a new section, end with it, and open the new one with a cymbal', () => {
    const unit = changed(bars(8), (_, i) => ({ section: i < 4 ? 'Verse' : 'Bridge' }));
    const { drums } = bandAt(unit);
    const fill = drums.filter((hit) => hit.voice.startsWith('tom'));
    expect(fill.length).toBeGreaterThan(2);
    for (const hit of fill) {
      expect(hit.seconds).toBeGreaterThanOrEqual(14);
      expect(hit.seconds).toBeLessThan(16);
    }
    expect(timesOf(drums, 'crash')).toEqual([16]);
  });

  it('close a unit that plays on into itself, and not one that ends', () => {
    const toms = (restBars: number) =>
      timesOf(bandAt(bars(4), { lap: { ...PLAIN, restBars } }).drums, 'tom-high', 'tom-low').length;
    expect(toms(0)).toBeGreaterThan(0);
    expect(toms(1)).toBe(0);
  });

  it('stop where the chart says N.C., to the very beat, and come back with a cymbal', () => {
    const unit = unitOf([{ chords: [['G', 0], ['N.C.', 2]] }, { chords: [['C', 1]] }]); // prettier-ignore
    const { drums, bass } = bandAt(unit);
    expect(drums.filter((hit) => hit.seconds >= 2 && hit.seconds < 5)).toEqual([]);
    expect(bass.filter((note) => note.until > 2 && note.seconds < 5)).toEqual([]);
    expect(timesOf(drums, 'crash')).toContain(5);
  });

  it('are the same for the same seed, and not for all seeds', () => {
    const unit = changed(bars(16), (_, i) => ({ section: `S${Math.floor(i / 4)}` }));
    expect(bandAt(unit, { seed: 3 })).toEqual(bandAt(unit, { seed: 3 }));
    const printed = [1, 2, 3, 4].map((seed) => JSON.stringify(bandAt(unit, { seed }).drums));
    expect(new Set(printed).size).toBeGreaterThan(1);
  });

  it.each<[string, Parameters<typeof withWords>[1], DrumVoice[]]>([
    ['brushes', { drums: 'brushes' }, ['kick', 'brush', 'tap']],
    ['hats', { drums: 'hats' }, ['hat']],
    ['rim', { drums: 'rim' }, ['kick', 'rim', 'hat']],
    ['off', { drums: 'off' }, []],
  ])('follow the word %s', (_, words, voices) => {
    const { drums } = bandAt(withWords(bars(2), words));
    expect([...new Set(drums.map((hit) => hit.voice))].toSorted()).toEqual(voices.toSorted());
  });

  it('play a chorus louder than a verse and an intro softer, unless the chart says otherwise', () => {
    const loudest = (role: SectionRole | undefined, words = {}) =>
      Math.max(
        ...bandAt(
          withWords(
            changed(bars(2), () => ({ ...(role && { role }) })),
            words,
          ),
        ).drums.map((h) => h.gain),
      );
    expect(loudest('chorus')).toBeGreaterThan(loudest(undefined));
    expect(loudest('edge')).toBeLessThan(loudest(undefined));
    expect(loudest('edge', { level: 'loud' })).toBe(loudest('chorus'));
  });

  it('leave a pickup to the guitar', () => {
    const unit = unitOf([{ pickup: rational(1), ...chord }, {}]);
    expect(bandAt(unit).drums.every((hit) => hit.seconds >= 1)).toBe(true);
  });

  it('strike nothing outside the unit, in order of time, in any chart', () => {
    fc.assert(
      fc.property(
        charts,
        fc.integer({ min: 1, max: 99 }),
        fc.constantFrom(...BASS_WORDS),
        (chart, seed, word) => {
          const plain = unwrap(resolveUnit({ ...chart, id: 'x' }, { kind: 'form' }));
          const unit = withWords(plain, { bass: word });
          const { lap, drums, bass } = bandAt(unit, { bpm: 100, seed });
          const astray = [drums, bass].flatMap((list) =>
            list.filter(({ seconds, gain, ...event }, i) => {
              const within = seconds >= lap.unitStart - 1e-9 && seconds < lap.unitEnd;
              const loud = gain > 0 && gain <= 1;
              const low = !('midi' in event) || (event.midi >= BASS_LOW && event.midi <= BASS_HIGH);
              return !(within && loud && low && seconds >= (list[i - 1]?.seconds ?? seconds));
            }),
          );
          expect(astray).toEqual([]);
        },
      ),
      { numRuns: runs(30, 5_000) },
    );
  });
});
