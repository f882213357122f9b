// A lap: its bars, beats, subdivisions, cues and changes at exact places.
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barLength, beatsOf, beatUnitLength, meterOf } from '../../../app/core/rhythm/meter.ts';
import { compare, rational, sum, toNumber } from '../../../app/core/base/rational.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { LapEvent, LapOptions } from '../../../app/core/timeline/model.ts';
import { emptyBars, PLAIN, SWING_8, unitOf } from './examples.ts';

const places = (events: readonly LapEvent[], kind: LapEvent['kind']): number[] =>
  events.filter((e) => e.kind === kind).map((e) => toNumber(e.at));
const sounding = (events: readonly LapEvent[]): number[] =>
  events.filter((e) => e.audible).map((e) => toNumber(e.at));

describe('intervals follow from the definition of bpm (60 s hold bpm counted notes) and the meter', () => {
  const cases = [
    { meter: meterOf(4, 4), bpm: 120, beats: [0, 0.5, 1, 1.5] },
    { meter: meterOf(2, 2), bpm: 60, beats: [0, 1] },
    { meter: meterOf(3, 4), bpm: 90, beats: [0, 60 / 90, 120 / 90] },
    // ♩. = 60: two beats of one second, each of three eighths
    { meter: meterOf(6, 8), bpm: 60, beats: [0, 1] },
    { meter: meterOf(12, 8), bpm: 120, beats: [0, 0.5, 1, 1.5] },
    // ♩ = 120 in 7/8 as 2+2+3: an eighth lasts 0.25 s
    { meter: meterOf(7, 8), bpm: 120, beats: [0, 0.5, 1] },
    { meter: meterOf(5, 4), bpm: 150, beats: [0, 0.4, 0.8, 1.2, 1.6] },
  ];
  it.each(cases)('$meter.numerator/$meter.unit at $bpm', ({ meter, bpm, beats }) => {
    const lap = buildLap(unitOf(emptyBars(2), meter), bpm, { ...PLAIN, countIn: 'none' });
    beats.forEach((at, i) => expect(lap.beats[i]).toBeCloseTo(at, 12));
    expect(lap.beats).toHaveLength(2 * beats.length);
  });
});

describe('count-in', () => {
  const bars = (options: Partial<LapOptions>, pickup?: number) => {
    const first = pickup === undefined ? [] : [{ pickup: rational(pickup * 2, 2) }];
    return buildLap(unitOf([...first, ...emptyBars(1)]), 120, { ...PLAIN, ...options });
  };

  it('gives no, one or two bars in the meter of the unit', () => {
    expect(bars({ countIn: 'none' }).unitStart).toBe(0);
    expect(bars({ countIn: 'one' }).unitStart).toBe(2);
    expect(bars({ countIn: 'two' }).unitStart).toBe(4);
  });

  it('counts "1 – 2 – 1 2 3 4" in half-then-full style (common practice, no source)', () => {
    const lap = bars({ countIn: 'half-then-full' });
    const heard = lap.events.filter((e) => e.part === 'count-in' && e.audible);
    expect(heard.map((e) => toNumber(e.at))).toEqual([0, 2, 4, 5, 6, 7]);
  });

  it('is completed by a pickup of one beat: "1 2 3", and in on 4', () => {
    const lap = bars({ countIn: 'one' }, 1);
    expect(lap.bars.map((bar) => bar.beats)).toEqual([3, 1, 4]);
    expect(lap.bars[1]!.firstBeat).toBe(4);
    expect(places(lap.events, 'bar')).toEqual([0, 4]);
  });

  it('puts a full bar before what a long pickup leaves: "1 2 3 4, 1", and in on 2', () => {
    expect(bars({ countIn: 'one' }, 3).bars.map((bar) => bar.beats)).toEqual([4, 1, 3, 4]);
  });

  it('starts a pickup in the middle of a beat', () => {
    const lap = buildLap(unitOf([{ pickup: rational(3, 2) }, {}]), 120, PLAIN);
    expect(lap.beats).toEqual([0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5]);
    expect(lap.unitStart).toBe(1.25);
  });
});

describe('subdivision', () => {
  const lap = (options: Partial<LapOptions>, meter = meterOf(4, 4), bpm = 60, feel = SWING_8) =>
    buildLap(unitOf([{ feel }], meter), bpm, { ...PLAIN, countIn: 'none', ...options });

  it('puts swung halves at two thirds of the beat with 2:1', () => {
    const halves = lap({ subdivision: 2 }).events.filter((e) => e.kind === 'subdivision');
    expect(halves.map((e) => e.at)).toEqual([2, 5, 8, 11].map((n) => rational(n, 3)));
  });

  it('keeps thirds even in a swung bar', () => {
    const thirds = lap({ subdivision: 3 }).events.filter((e) => e.kind === 'subdivision');
    expect(thirds.slice(0, 2).map((e) => e.at)).toEqual([rational(1, 3), rational(2, 3)]);
  });

  it('sounds the printed eighths in 6/8 and 7/8', () => {
    expect(places(lap({ subdivision: 2 }, meterOf(6, 8)).events, 'subdivision')).toEqual([
      0.5, 1, 2, 2.5,
    ]);
    expect(places(lap({ subdivision: 3 }, meterOf(7, 8)).events, 'subdivision')).toEqual([
      0.5, 1.5, 2.5, 3,
    ]);
  });

  it('comes by itself below 33 bpm (Repp 2006: keeping in time fails beyond 1,800 ms)', () => {
    expect(places(lap({}, meterOf(4, 4), 33).events, 'subdivision')).toEqual([]);
    expect(places(lap({}, meterOf(4, 4), 32).events, 'subdivision')).toHaveLength(4);
    expect(places(lap({}, meterOf(6, 8), 32).events, 'subdivision')).toHaveLength(4);
  });
});

describe('changes and cues', () => {
  const unit = unitOf([
    { chords: [['G', 0]] },
    { chords: [['C', 0], ['D7', 3]] }, // prettier-ignore
  ]);

  it('tells each change with the chord before it, and announces all but the first', () => {
    const lap = buildLap(unit, 120, { ...PLAIN, cueBeats: 2 });
    expect(lap.changes.map((e) => [toNumber(e.at), e.from?.symbol, e.chord?.symbol])).toEqual([
      [4, undefined, 'G'],
      [8, 'G', 'C'],
      [11, 'C', 'D7'],
    ]);
    expect(places(lap.events, 'cue')).toEqual([6, 9]);
  });

  it('leaves out a cue that would come before the change before it', () => {
    const lap = buildLap(unit, 120, { ...PLAIN, cueBeats: 4 });
    expect(places(lap.events, 'cue')).toEqual([]);
  });

  it('swings an off-beat change and its cue', () => {
    const swung = unitOf([{ feel: SWING_8, chords: [['G', 0], ['C', rational(5, 2)]] }]); // prettier-ignore
    const lap = buildLap(swung, 60, { ...PLAIN, countIn: 'none', cueBeats: 1 });
    expect(lap.changes[1]!.at).toEqual(rational(8, 3));
    expect(lap.changes[1]!.beat).toBe(3);
    expect(places(lap.events, 'cue')).toEqual([toNumber(rational(5, 3))]);
  });

  it('keeps the places but not the voice when changes are not to be marked', () => {
    const lap = buildLap(unit, 120, { ...PLAIN, markChanges: false });
    expect(lap.changes.map((e) => e.audible)).toEqual([false, false, false]);
  });

  it('counts a cue back across a change of meter in beats', () => {
    const mixed = unitOf([
      { chords: [['G', 0]] },
      { meter: meterOf(6, 8), chords: [['C', rational(3, 2)]] },
    ]);
    const lap = buildLap(mixed, 120, { ...PLAIN, countIn: 'none', cueBeats: 2 });
    expect(places(lap.events, 'cue')).toEqual([3]);
  });
});

describe('click patterns', () => {
  const lap = (click: LapOptions['click'], count = 1, meter = meterOf(4, 4)) =>
    buildLap(unitOf(emptyBars(count), meter), 120, { ...PLAIN, countIn: 'none', click });

  it('clicks on 2 and 4, on off-beats, on bar starts', () => {
    expect(sounding(lap({ kind: 'two-and-four' }).events)).toEqual([1, 3]);
    expect(sounding(lap({ kind: 'off-beats' }).events)).toEqual([0.5, 1.5, 2.5, 3.5]);
    expect(sounding(lap({ kind: 'off-beats' }, 1, meterOf(6, 8)).events)).toEqual([1, 2.5]);
    expect(sounding(lap({ kind: 'bar-starts' }, 2).events)).toEqual([0, 4]);
  });

  it('keeps every third bar silent, and tells the ear where its beats are', () => {
    const gaps = lap({ kind: 'gaps', every: 3 }, 6);
    const silent = gaps.events.filter((e) => !e.audible);
    expect(silent.map((e) => toNumber(e.at))).toEqual([8, 9, 10, 11, 20, 21, 22, 23]);
    expect(gaps.beats).toHaveLength(24);
  });

  it('lets gaps grow by a bar each time up to the longest', () => {
    const grown = lap({ kind: 'growing-gaps', sounding: 1, longest: 2 }, 9);
    const bars = new Set(grown.events.filter((e) => e.audible).map((e) => e.bar));
    expect([...bars]).toEqual([0, 2, 5, 8]);
  });

  it('displaces every click and says which voice it keeps', () => {
    const moved = lap({ kind: 'displaced', by: rational(1, 4) });
    const heard = moved.events.filter((e) => e.audible);
    expect(heard.map((e) => [toNumber(e.at), e.voice])).toEqual([
      [0.25, 'bar'],
      [1.25, 'beat'],
      [2.25, 'group'],
      [3.25, 'beat'],
    ]);
  });

  it('silences the changes that would give the beat away', () => {
    const unit = unitOf([{ chords: [['G', 0], ['C', 1]] }]); // prettier-ignore
    const options = { ...PLAIN, countIn: 'none', click: { kind: 'two-and-four' } } as const;
    expect(buildLap(unit, 120, options).changes.map((e) => e.audible)).toEqual([false, true]);
  });

  it('clicks in full in count-in and rest bars', () => {
    const options = { ...PLAIN, restBars: 1, click: { kind: 'gaps', every: 1 } } as const;
    const heard = buildLap(unitOf(emptyBars(1)), 120, options).events.filter((e) => e.audible);
    expect(heard.map((e) => e.part)).toEqual([
      ...Array<string>(4).fill('count-in'),
      ...Array<string>(4).fill('rest'),
    ]);
  });
});

describe('tempo marks inside the unit', () => {
  const twoTempos = unitOf([
    {},
    { tempo: { bpm: 50, beat: 'quarter' } },
    { tempo: { bpm: 50, beat: 'dotted-quarter' }, meter: meterOf(6, 8) },
  ]);

  it('scale in proportion when the rung changes the first one', () => {
    const lap = buildLap(twoTempos, 120, { ...PLAIN, countIn: 'none' });
    // 100 → 120: the bar marked ♩ = 50 is played at 60, the bar marked ♩. = 50 at ♩. = 60
    expect(lap.bars.map((bar) => bar.seconds)).toEqual([0, 2, 6]);
    expect(lap.end).toBeCloseTo(8, 12);
  });
});

const anyMeter = fc.constantFrom(
  ...[2, 3, 4, 5, 7].map((n) => meterOf(n, 4)),
  ...[3, 5, 6, 7, 9, 11, 12].map((n) => meterOf(n, 8)),
  meterOf(2, 2),
);
const anyOptions: fc.Arbitrary<LapOptions> = fc.record({
  countIn: fc.constantFrom('none', 'one', 'two', 'half-then-full'),
  restBars: fc.integer({ min: 0, max: 4 }),
  click: fc.constantFrom<LapOptions['click']>(
    { kind: 'every-beat' },
    { kind: 'two-and-four' },
    { kind: 'off-beats' },
    { kind: 'bar-starts' },
    { kind: 'gaps', every: 3 },
    { kind: 'growing-gaps', sounding: 2, longest: 3 },
    { kind: 'displaced', by: rational(1, 3) },
  ),
  subdivision: fc.constantFrom(1, 2, 3, 4),
  cueBeats: fc.integer({ min: 0, max: 4 }),
  markChanges: fc.boolean(),
});
const anyBar = fc.record({
  meter: anyMeter,
  feel: fc.constantFrom(SWING_8, { kind: 'straight' as const }),
  tempo: fc.record({
    bpm: fc.integer({ min: 20, max: 400 }),
    beat: fc.constantFrom('quarter' as const, 'dotted-quarter' as const),
  }),
  chords: fc.constantFrom([], [['G', 0] as const], [['C', 0] as const, ['D', 1] as const]),
});
const anyLap = fc
  .record({
    bars: fc.array(anyBar, { minLength: 1, maxLength: 12 }),
    bpm: fc.integer({ min: 20, max: 400 }),
    options: anyOptions,
  })
  .map(({ bars, bpm, options }) => buildLap(unitOf(bars, bars[0]!.meter), bpm, options));

describe('laws of every lap', () => {
  it('has its events in order, all inside it', () => {
    fc.assert(
      fc.property(anyLap, (lap) => {
        lap.events.forEach((event, i) => {
          const before = lap.events[i - 1];
          if (before) expect(compare(before.at, event.at)).toBeLessThanOrEqual(0);
          if (before) expect(before.seconds).toBeLessThanOrEqual(event.seconds);
          expect(event.seconds).toBeGreaterThanOrEqual(0);
          expect(event.seconds).toBeLessThan(lap.end);
        });
      }),
    );
  });

  it('is as long as its bars together, to a millionth of a sample', () => {
    fc.assert(
      fc.property(anyLap, (lap) => {
        const each = lap.bars.map((bar) => toNumber(bar.length) * bar.quarter);
        const total = each.reduce((a, b) => a + b, 0);
        expect(Math.abs(lap.end - total)).toBeLessThan(1e-6 / 48_000 + 1e-12 * total);
      }),
    );
  });

  it('holds every beat of every bar once', () => {
    fc.assert(
      fc.property(anyLap, (lap) => {
        const beats = lap.bars.map((bar) => beatsOf(bar.meter).length);
        expect(lap.beats).toHaveLength(beats.reduce((a, b) => a + b, 0));
        expect(lap.bars.at(-1)!.beatIndex + lap.bars.at(-1)!.beats).toBe(lap.beats.length);
      }),
    );
  });
});

describe('no drift over 60 minutes', () => {
  it.each([30, 97, 170, 299])(
    'at %i bpm the last beat is where one multiplication puts it',
    (bpm) => {
      const bars = Math.ceil((60 * bpm) / 4) + 1;
      const lap = buildLap(unitOf(emptyBars(bars)), bpm, { ...PLAIN, countIn: 'none' });
      const last = lap.beats.length - 1;
      const ideal = (last * 60) / bpm;
      expect(ideal).toBeGreaterThan(3600);
      expect(Math.abs(lap.beats[last]! - ideal) * 48_000).toBeLessThan(1e-3);
    },
  );

  it('positions stay exact: the last of 4,500 bars of 7/8 starts at 4,499 × 7/2 quarters', () => {
    const lap = buildLap(unitOf(emptyBars(4500), meterOf(7, 8)), 90, { ...PLAIN, countIn: 'none' });
    expect(lap.bars.at(-1)!.at).toEqual(rational(4499 * 7, 2));
    expect(sum(lap.bars.map((bar) => bar.length))).toEqual(rational(4500 * 7, 2));
    expect(barLength(meterOf(7, 8))).toEqual(rational(7, 2));
    expect(beatUnitLength('quarter')).toEqual(rational(1));
  });
});

describe('misuse', () => {
  it('is a programming error with a name', () => {
    const none = { ...unitOf([{}]), bars: [] };
    expect(() => buildLap(none, 120, PLAIN)).toThrow('‘Verse’ has no bars');
    expect(() => buildLap(unitOf([{}]), 0, PLAIN)).toThrow('0 bpm is not a tempo');
  });
});
