// The model guitar's plan: spread and direction of strokes, which strings ring, which are stopped.
import { describe, expect, it } from 'vitest';
import type { StrumPattern } from '../../../app/core/model/chart.ts';
import { parseStrum } from '../../../app/core/rhythm/strum.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { strumNotes } from '../../../app/core/sound/strum-notes.ts';
import type { Voicing } from '../../../app/core/units/hands/hands.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { type BarSketch, PLAIN, unitOf } from '../timeline/examples.ts';

// Open C (x32010) and G (320003) in standard tuning; pitches from string 6 to string 1.
const C: Voicing = [null, 48, 52, 55, 60, 64];
const G: Voicing = [43, 47, 50, 55, 59, 67];

const strum = (text: string): StrumPattern => unwrap(parseStrum(text));

/** ♩ = 60, no count-in: a second is a beat. */
function notesOf(pattern: string, bars: readonly BarSketch[], voicings: readonly Voicing[]) {
  const plain = unitOf(bars);
  const unit = { ...plain, bars: plain.bars.map((bar) => ({ ...bar, strum: strum(pattern) })) };
  return strumNotes(buildLap(unit, 60, { ...PLAIN, countIn: 'none' }), unit, voicings);
}

const oneBarOfC = [{ chords: [['C', 0]] }] as const;

describe('a stroke', () => {
  it('goes down from string 6 to string 1 in about 11 ms (median of a comping take, see FACTS)', () => {
    const notes = notesOf('eighths D- -- -- --', oneBarOfC, [C]);
    expect(notes.map((note) => note.midi)).toEqual([48, 52, 55, 60, 64]);
    expect(notes[0]!.seconds).toBe(0);
    expect(notes.at(-1)!.seconds).toBeCloseTo(0.0113, 9);
  });

  it('goes up from string 1 and reaches four strings', () => {
    const notes = notesOf('eighths -U -- -- --', oneBarOfC, [C]);
    expect(notes.map((note) => note.midi)).toEqual([64, 60, 55, 52]);
    expect(notes[0]!.seconds).toBe(0.5);
  });

  it('is louder and quicker with an accent', () => {
    const [plain] = notesOf('eighths D- -- -- --', oneBarOfC, [C]);
    const accent = notesOf('eighths D>- -- -- --', oneBarOfC, [C]);
    expect(accent[0]!.gain).toBeGreaterThan(plain!.gain);
    expect(accent.at(-1)!.seconds).toBeLessThan(0.0113);
  });

  it('damped by the palm keeps its pitch under the hand and is soon over', () => {
    const notes = notesOf('eighths Dm- -- -- --', oneBarOfC, [C]);
    expect(notes.every((note) => note.damped && !note.muted)).toBe(true);
    expect(notes.every((note) => note.until - note.seconds < 0.4)).toBe(true);
  });

  it('into which the hand slides begins two frets lower, once for each chord', () => {
    const plain = unitOf([{ chords: [['C', 0]] }, { chords: [['G', 0]] }]);
    const bars = plain.bars.map((bar) => ({
      ...bar,
      strum: strum('eighths D- D- D- D-'),
      chords: bar.chords.map((one) => ({ ...one, slide: true as const })),
    }));
    const lap = buildLap({ ...plain, bars }, 60, { ...PLAIN, countIn: 'none' });
    const notes = strumNotes(lap, { ...plain, bars }, [C, G]);
    const slid = notes.filter((note) => note.slide === 2).map((note) => Math.floor(note.seconds));
    expect([...new Set(slid)]).toEqual([0, 4]);
  });

  it('over muted strings is short', () => {
    const notes = notesOf('eighths Dx- -- -- --', oneBarOfC, [C]);
    expect(notes.every((note) => note.muted && note.until - note.seconds < 0.2)).toBe(true);
  });
});

describe('a string', () => {
  it('rings until it is struck again', () => {
    const [first, second] = notesOf('eighths D- D- -- --', oneBarOfC, [C]).filter(
      (note) => note.midi === 48,
    );
    expect(first!.until).toBe(1);
    expect(second!.seconds).toBe(1);
  });

  it('that an up-stroke does not reach rings on under it', () => {
    const notes = notesOf('eighths DU -- -- --', oneBarOfC, [C]);
    const bass = notes.filter((note) => note.midi === 48);
    expect(bass).toHaveLength(1);
    expect(bass[0]!.until).toBeGreaterThan(3);
  });

  it('is silenced by a rest', () => {
    const notes = notesOf('eighths D- r- -- --', oneBarOfC, [C]);
    expect(notes.every((note) => note.until === 1)).toBe(true);
  });

  it('stops when the chord takes another note on it', () => {
    const chords = [['C', 0], ['G', 2]] as const; // prettier-ignore
    const notes = notesOf('eighths D- -- U- --', [{ chords }], [C, G]);
    expect(notes.find((note) => note.midi === 48)!.until).toBe(2);
    expect(notes.find((note) => note.midi === 67)!.seconds).toBe(2);
  });

  it('is silent where nothing is to be played', () => {
    const chords = [['C', 0], ['N.C.', 2]] as const; // prettier-ignore
    const notes = notesOf('eighths D- D- D- D-', [{ chords }], [C, []]);
    expect(Math.max(...notes.map((note) => note.seconds))).toBeLessThan(2);
    expect(Math.max(...notes.map((note) => note.until))).toBe(2);
  });
});

describe('strumNotes', () => {
  it('plays the chord that is held into the unit', () => {
    const notes = notesOf('eighths D- -- -- --', [{ held: 'G' }], [G]);
    expect(notes).toHaveLength(6);
  });

  it('wants a voicing for every chord', () => {
    expect(() => notesOf('eighths D- -- -- --', oneBarOfC, [])).toThrow('0 voicings for 1 chords');
  });
});
