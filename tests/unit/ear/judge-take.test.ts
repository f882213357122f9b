// A recording of the model guitar playing a demo chart is judged clean, wherever in the file it begins.
import { beforeAll, describe, expect, it } from 'vitest';
import type { Chart } from '../../../app/core/model/chart.ts';
import { demoNamed } from '../../support/demo.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { bandOf } from '../../../app/core/band/band.ts';
import { mixBass, mixDrums } from '../../../app/core/band/mix.ts';
import { howBroken } from '../../../app/core/ear/broken.ts';
import { testKit } from '../../support/band-kit.ts';
import { expectationOf } from '../../../app/core/ear/expectation.ts';
import { findStart } from '../../../app/core/ear/find-start.ts';
import { judgeTake } from '../../../app/core/ear/judge-take.ts';
import type { Take } from '../../../app/core/ear/take.ts';
import { USUAL_RULE } from '../../../app/core/ear/verdict.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { mixGuitar } from '../../../app/core/sound/guitar.ts';
import { plucksAt } from '../../support/plucks.ts';
import { strumNotes } from '../../../app/core/sound/strum-notes.ts';
import { type Voicing, unitVoicings } from '../../../app/core/units/hands/hands.ts';
import { BARE_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { soundFrames } from '../../../app/core/ear/frames.ts';
import { resampled } from '../../../app/core/ear/rate.ts';
import { NETWORK } from '../../support/network.ts';

const RATE = 44_100;
const BPM = 90;
/** The second demo chart has a strum written for every bar. */
const chart: Chart = demoNamed('paper-streetcar');
const unit: Unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'Intro' }));
const lap = buildLap(unit, BPM, { ...BARE_LAP, markChanges: true });
const voicings: readonly Voicing[] = unitVoicings(unit, chart.shapes);

/** The unit from second `start` of a recording on. */
function recorded(start: number, played: readonly Voicing[] = voicings, rate = RATE): Take {
  const guitar = new Float32Array(Math.ceil((lap.end + 1) * rate));
  mixGuitar(guitar, 0, strumNotes(lap, unit, played), plucksAt(rate));
  const samples = new Float32Array(guitar.length + Math.round(start * rate));
  samples.set(guitar, Math.round(start * rate));
  return { samples, rate, length: samples.length / rate, remarks: [] };
}

const settings = { bpm: BPM, rule: USUAL_RULE, network: NETWORK, voicings };

describe('judgeTake', () => {
  let take: Take;
  beforeAll(() => {
    take = recorded(1.3);
  });

  it('finds every change right and in time', () => {
    const judged = judgeTake(take, unit, { ...settings, start: 1.3 });
    expect(judged.pass).toMatchObject({ verdict: 'clean', unsure: 0 });
    expect(judged.pass.held).toBe(lap.changes.length);
    expect(judged.remarks).toEqual([]);
  });

  it('finds the start by itself, and says that offsets are relative', () => {
    const judged = judgeTake(take, unit, settings);
    expect(judged.relative).toBe(true);
    expect(Math.abs(judged.start - 1.3)).toBeLessThan(0.02);
    expect(judged.pass.verdict).toBe('clean');
  });

  it('says at which tempo a pass was played that was a little faster than asked', () => {
    const judged = judgeTake(take, unit, { ...settings, bpm: 88 });
    expect(Math.abs(judged.start - 1.3)).toBeLessThan(0.06);
    const said = judged.remarks.find(({ code }) => code === 'ear-other-pace');
    expect(said?.message).toBe('It was played at about 90 bpm rather than 88');
    expect(judgeTake(take, unit, settings).remarks).toEqual([]);
  });

  it.each([48_000, 96_000])('judges it clean at %i samples a second', (rate) => {
    const judged = judgeTake(recorded(1.3, voicings, rate), unit, { ...settings, start: 1.3 });
    expect(judged.pass).toMatchObject({ verdict: 'clean', held: lap.changes.length, unsure: 0 });
  });

  describe('of a recording that lacks a part of the pass', () => {
    const cut = ({ samples, ...of }: Take, from: number, to: number): Take => {
      const held = samples.slice(Math.round(from * RATE), Math.round(to * RATE));
      return { ...of, samples: held, length: held.length / RATE };
    };
    const told = (start: number, from: number, to: number) => {
      const judged = judgeTake(cut(take, from, to), unit, { ...settings, start });
      return { ...judged, chords: judged.changes.map(({ chord }) => chord) };
    };
    const at = (change: number): number => 1.3 + lap.changes[change]!.seconds;

    it('says nothing of the changes after its end', () => {
      const last = lap.changes.length - 1;
      const { chords, pass } = told(1.3, 0, at(last) - 0.2);
      expect(chords).toEqual([...chords.slice(0, last).fill('right'), 'unsure']);
      expect(pass).toMatchObject({ verdict: 'clean', unsure: 1 });
    });

    it('says nothing of the changes before its beginning', () => {
      const from = at(1) - 0.5;
      const { chords } = told(1.3 - from, from, take.length);
      expect(chords).toEqual(['unsure', ...chords.slice(1).fill('right')]);
    });

    it('gives no verdict where it holds too little', () => {
      expect(told(1.3, 0, at(1) + 0.1).pass.verdict).toBeNull();
    });
  });

  it('trusts the symbols alone where no shapes are known', () => {
    const judged = judgeTake(take, unit, { ...settings, start: 1.3, voicings: null });
    expect(judged.pass.verdict).toBe('clean');
  });

  describe('with drums, bass and click bleeding in from headphones, 26 dB under the guitar', () => {
    /** A tone for each drum and bass note; where the beat, the bass and the strum fall together all three sound. */
    const withBand = (played: readonly Voicing[] = voicings): Take => {
      const alone = recorded(1.3, played);
      const beside = new Float32Array(alone.samples.length);
      const { drums, bass } = bandOf(unit, lap);
      const kit = testKit(RATE);
      const from = -Math.round(1.3 * RATE);
      mixDrums(beside, from, drums, kit);
      mixBass(beside, from, bass, kit);
      const peak = (of: Float32Array) => of.reduce((most, x) => Math.max(most, Math.abs(x)), 0);
      const gain = (0.05 * peak(alone.samples)) / peak(beside);
      return { ...alone, samples: alone.samples.map((x, i) => x + gain * beside[i]!) };
    };

    it('a clean pass stays clean', () => {
      const judged = judgeTake(withBand(), unit, { ...settings, start: 1.3 });
      expect(judged.pass.verdict).toBe('clean');
    });

    it('a wrong chord is marked in its own bar and nowhere else', () => {
      const wrong = voicings.with(
        1,
        voicings[1]!.map((m) => (m === null ? null : m + 1)),
      );
      const judged = judgeTake(withBand(wrong), unit, { ...settings, start: 1.3 });
      const marked = judged.changes.filter(
        (change) => howBroken(change, USUAL_RULE, 60 / BPM) !== undefined,
      );
      expect(marked.map(({ bar }) => bar)).toEqual([lap.bars[lap.changes[1]!.bar]!.unitBar]);
    });
  });

  it('misses a pass whose chords are all a semitone up, and says so', () => {
    const higher = voicings.map((v) => v.map((m) => (m === null ? null : m + 1)));
    const judged = judgeTake(recorded(1.3, higher), unit, { ...settings, start: 1.3 });
    expect(judged.pass.verdict).toBe('missed');
    expect(judged.remarks.map((p) => p.code)).toContain('ear-capo');
  });

  it('says that a recording ends before the pass does', () => {
    const cut = { ...take, samples: take.samples.slice(0, 4 * RATE), length: 4 };
    const judged = judgeTake(cut, unit, { ...settings, start: 1.3 });
    expect(judged.remarks.map((p) => p.code)).toContain('take-too-short');
  });
});

describe('expectationOf', () => {
  it('asks for each change at its first stroke, and knows every click', () => {
    const expected = expectationOf(lap, unit, 2, { voicings });
    expect(expected.changes).toHaveLength(lap.changes.length);
    expect(expected.beat).toBeCloseTo(60 / BPM, 9);
    expect(expected.changes[0]).toMatchObject({ due: 2, struck: true, sounds: true, from: null });
    expected.changes.forEach((change, i) => {
      expect(change.until).toBeCloseTo(expected.changes[i + 1]?.due ?? 2 + lap.unitEnd, 1);
      expect(change.to!.strings).toBe(voicings[i]);
    });
    expect(expected.clicks[0]!.at).toBe(2);
  });

  it('refuses voicings that are not one to a chord', () => {
    expect(() => expectationOf(lap, unit, 0, { voicings: voicings.slice(1) })).toThrow(
      /voicings for/,
    );
  });
});

describe('findStart', () => {
  const findIn = (take: Take) => {
    const sound = resampled(take.samples, take.rate);
    const frames = soundFrames();
    frames.advance(sound, sound.length);
    return findStart(expectationOf(lap, unit, 0, { voicings }), frames, take.length);
  };

  it.each([0.2, 3.1])('finds a pass that begins at %f s', (start) => {
    const found = findIn(recorded(start))!;
    expect(Math.abs(found.start - start)).toBeLessThan(0.01);
    expect(found.doubtful).toBe(false);
  });

  /** The pass with every chord in `wrong` exchanged for the one of bar `by`. */
  const misplayed = (wrong: readonly number[], by: number): readonly Voicing[] =>
    voicings.map((voicing, i) => (wrong.includes(i) ? voicings[by]! : voicing));

  it('trusts the chords where the strokes fit a bar earlier as well', () => {
    const take = recorded(4);
    const before = recorded(4 - lap.bars[1]!.seconds, misplayed([0], 2));
    const until = Math.round((4 - 0.03) * RATE);
    take.samples.set(before.samples.subarray(0, until));
    const found = findIn(take)!;
    expect(Math.abs(found.start - 4)).toBeLessThan(0.02);
    expect(found.doubtful).toBe(false);
  });

  it('finds a guitar that is tuned more than half a semitone low', () => {
    const low = recorded(2.2);
    // Played back so much more slowly that all of it sounds 56 cents lower; the pace goes along.
    const by = 2 ** (-56 / 1200);
    const samples = Float32Array.from({ length: Math.floor(low.samples.length / by) }, (_, i) => {
      const at = i * by;
      const [a, b] = [low.samples[Math.floor(at)] ?? 0, low.samples[Math.floor(at) + 1] ?? 0];
      return a + (at % 1) * (b - a);
    });
    const found = findIn({ ...low, samples, length: samples.length / RATE })!;
    expect(Math.abs(found.start - 2.2 / by)).toBeLessThan(0.05);
    expect(found.doubtful).toBe(false);
  });

  it('doubts a place at which hardly any chord is heard', () => {
    const strange = voicings.map((v) => v.map((m) => (m === null ? null : m + 6)));
    expect(findIn(recorded(1, strange))!.doubtful).toBe(true);
  });

  it('finds nothing in silence', () => {
    const samples = new Float32Array(5 * RATE);
    expect(findIn({ samples, rate: RATE, length: 5, remarks: [] })).toBeNull();
  });
});

it.each([-0.1, -0.02, 0.01])(
  'claims nothing of a change whose sound did not arrive whole (%d s)',
  (off) => {
    const take = recorded(0);
    const at = Math.round((lap.changes[1]!.seconds + off) * RATE);
    take.samples.fill(0, at, at + 0.01 * RATE);
    const judged = judgeTake(take, unit, {
      bpm: BPM,
      rule: USUAL_RULE,
      network: NETWORK,
      start: 0,
      voicings,
    });
    expect(judged.changes[1]).toMatchObject({ chord: 'unsure', timing: 'unsure' });
    expect(judged.changes[1]?.offset).toBeUndefined();
    expect(judged.changes.at(-1)).toMatchObject({ chord: 'right', timing: 'on-time' });
    expect(judged.remarks.map((p) => p.code)).toEqual(['ear-lost']);
    expect(judged.findings.lost).toBeCloseTo(0.01, 3);
  },
);
