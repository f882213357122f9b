// A lead line as sound. Pitches are measured in the samples by `pitchy` (McLeod & Wyvill 2005, an
// independent estimator from the npm registry), never read back from our own curves.
import { PitchDetector } from 'pitchy';
import { describe, expect, it } from 'vitest';
import type { Chart } from '../../../app/core/model/chart.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { leadTones, type LeadTone } from '../../../app/core/sound/lead/tones.ts';
import { renderLead } from '../../support/render-lead.ts';
import { leadMoments } from '../../../app/core/timeline/lead.ts';

const RATE = 48_000;
const WINDOW = 4096;

/** One bar of 4/4 at 60 bpm: a quarter note lasts a second. */
const tonesOf = (part: string): readonly LeadTone[] => {
  const text = `title: T\ntempo: ♩ = 60\nmeter: 4/4\n\n[A]\n| G | G |\nline: L, bar 1\npart One: | ${part} |\n`;
  const chart: Chart = { id: 'c', ...unwrap(parseChart(text)) };
  const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'A' }));
  return leadTones(
    leadMoments(unit, 60, { countIn: 'none', restBars: 0 }, { lead: 'L', part: 'One' }),
  );
};

/** Cents from a MIDI pitch, measured around a time in seconds. */
function centsFrom(samples: Float32Array, at: number, midi: number): number {
  const start = Math.round(at * RATE) - WINDOW / 2;
  const [hertz] = PitchDetector.forFloat32Array(WINDOW).findPitch(
    samples.subarray(start, start + WINDOW),
    RATE,
  );
  return 1200 * Math.log2(hertz / (440 * 2 ** ((midi - 69) / 12)));
}
const sound = (part: string): Float32Array => renderLead(tonesOf(part), 5 * RATE, RATE);

describe('pitch, measured in cents', () => {
  it.each<[string, string, number, number]>([
    ['an open string: 1/0 is E4', '1 1/0', 0.5, 64],
    ['the lowest string: 6/0 is E2', '1 6/0', 0.5, 40],
    ['string 3 fret 7 is D4', '1 3/7', 0.5, 62],
    ['an octave up at string 2 fret 15 (common practice, no source)', '1 2/15', 0.5, 74],
    ['a whole-step bend starts at its fret', '1 3/7b1', 0.044, 62],
    ['and arrives two semitones higher', '1 3/7b1', 2, 64],
    ['a half-step bend arrives one higher', '1 3/7b.5', 2, 63],
    ['one and a half steps arrive three higher', '1 3/7b1.5', 2, 65],
    ['a released bend comes down again', '1 3/7b1r', 3.7, 62],
    ['a hammer-on goes on at the new pitch', '2 3/5 h7', 2.5, 62],
    ['a slide has arrived when its note begins', '2 3/5 /9', 2.06, 64],
  ])('%s', (_, part, at, midi) => {
    expect(Math.abs(centsFrom(sound(part), at, midi))).toBeLessThan(5);
  });

  it('vibrato sways upward by about 22 cents', () => {
    const samples = sound('1 3/7~');
    const sways = Array.from({ length: 60 }, (_, i) => centsFrom(samples, 1 + i / 100, 62));
    expect(Math.max(...sways)).toBeGreaterThan(12);
    expect(Math.max(...sways)).toBeLessThan(26);
    expect(Math.min(...sways)).toBeGreaterThan(-5);
  });
});

describe('tones', () => {
  it('notes reached on a string go on in one tone; a new pick stroke starts another', () => {
    expect(tonesOf('4 3/5 h7 p5 3/7')).toMatchObject([
      { string: 3, attacks: [{ strength: 1 }, { strength: 0.5 }, { strength: 0.55 }] },
      { string: 3, attacks: [{ strength: 1 }] },
    ]);
  });

  it('a grace note comes before the beat and the main note on it', () => {
    const [, tone] = tonesOf('2 2/5 3/g5h7');
    expect(tone!.start).toBeCloseTo(1.93, 6);
    expect(tone!.points.at(-1)).toEqual({ at: 2, pitch: 62 });
  });

  it('a string stops when it is struck again, and a ringing one goes on', () => {
    const [first] = tonesOf('4 3/5 3/7 r r');
    expect(first!.end).toBe(1);
    const [ringing] = tonesOf('4 3/5^ 2/5 r r');
    expect(ringing!.end).toBe(3);
  });

  it('a soft attack is softer than a picked one', () => {
    const level = (samples: Float32Array, at: number): number =>
      samples.subarray(at * RATE, (at + 0.05) * RATE).reduce((m, x) => Math.max(m, Math.abs(x)), 0);
    expect(level(sound('2 3/5 h7'), 2)).toBeLessThan(0.75 * level(sound('2 3/5 3/7'), 2));
  });
});

it('never leaves the range of samples for one part', () => {
  const peak = sound('16 6/3 5/2 4/0 3/0 2/0 1/3 1/0 2/1 4 5/x r').reduce(
    (m, x) => Math.max(m, Math.abs(x)),
    0,
  );
  expect(peak).toBeGreaterThan(0.2);
  expect(peak).toBeLessThan(2.5);
});
