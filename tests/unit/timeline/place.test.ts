// What the stage reads from a lap at a moment.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { rational } from '../../../app/core/base/rational.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { placeAt } from '../../../app/core/timeline/place.ts';
import { PLAIN, unitOf } from './examples.ts';

// ♩ = 60: a second is a beat. Count-in 0–4, then | G . . . | C . . D |, one rest bar 12–16.
const lap = buildLap(
  unitOf([{ chords: [['G', 0]] }, { chords: [['C', 0], ['D', 3]] }]), // prettier-ignore
  60,
  { ...PLAIN, restBars: 1 },
);

describe('placeAt', () => {
  it('announces the first chord during the count-in', () => {
    const place = placeAt(lap, 1.5);
    expect(place).toMatchObject({
      part: 'count-in',
      bar: 0,
      beat: 2,
      beatShare: 0.5,
      next: { symbol: 'G' },
    });
    expect(place.current).toBeUndefined();
    expect(place.beatsUntilNext).toBeCloseTo(2.5);
  });

  it('changes chord at the very moment of the change', () => {
    expect(placeAt(lap, 8 - 1e-9)).toMatchObject({
      unitBar: 0,
      beat: 4,
      current: { symbol: 'G' },
      next: { symbol: 'C' },
    });
    expect(placeAt(lap, 8)).toMatchObject({
      unitBar: 1,
      beat: 1,
      current: { symbol: 'C' },
      next: { symbol: 'D' },
    });
    expect(placeAt(lap, 8).beatsUntilNext).toBe(3);
    expect(placeAt(lap, 8).nextAt).toBe(11);
  });

  it('has nothing next after the last change, and still knows bar and beat in the rest bar', () => {
    const place = placeAt(lap, 13.25);
    expect(place).toMatchObject({
      part: 'rest',
      bar: 3,
      beat: 2,
      current: { symbol: 'D' },
      nextChange: 3,
    });
    expect(place.next).toBeUndefined();
  });

  it('stays at the ends for moments outside the lap', () => {
    expect(placeAt(lap, -1)).toMatchObject({ part: 'count-in', beat: 1 });
    expect(placeAt(lap, 99)).toMatchObject({ part: 'rest', bar: 3 });
  });

  it('counts a pickup with the numbers of its meter', () => {
    const pickup = buildLap(unitOf([{ pickup: rational(3, 2) }, { held: 'Em' }]), 60, PLAIN);
    expect(placeAt(pickup, 2.6)).toMatchObject({ part: 'unit', bar: 1, beat: 3 });
    expect(placeAt(pickup, 3.1)).toMatchObject({ part: 'unit', bar: 1, beat: 4 });
    expect(placeAt(pickup, 4)).toMatchObject({ part: 'unit', bar: 2, beat: 1 });
  });

  it('shows a chord that is held into the unit', () => {
    const held = buildLap(unitOf([{ held: 'Am', chords: [['F', 2]] }]), 60, PLAIN);
    expect(held.opening?.symbol).toBe('Am');
    expect(placeAt(held, 0)).toMatchObject({ current: { symbol: 'Am' }, next: { symbol: 'F' } });
  });

  it('agrees with a plain search through all bars and changes', () => {
    fc.assert(
      fc.property(fc.double({ min: 0, max: lap.end, noNaN: true, maxExcluded: true }), (t) => {
        const place = placeAt(lap, t);
        expect(place.bar).toBe(lap.bars.findLastIndex((bar) => bar.seconds <= t));
        expect(place.nextChange).toBe(lap.changes.filter((e) => e.seconds <= t).length);
        expect(place.beatShare).toBeGreaterThanOrEqual(0);
        expect(place.beatShare).toBeLessThan(1);
      }),
    );
  });
});
