// The bass: chord tones where it counts, tones that lead, the capo, and the words.
import { describe, expect, it } from 'vitest';
import { meterOf } from '../../../app/core/rhythm/meter.ts';
import { unitOf } from '../timeline/examples.ts';
import { bandAt, round, withWords } from './example.ts';

const twoBars = unitOf([{ chords: [['G', 0]] }, { chords: [['C/E', 0]] }]);
const told = (notes: ReturnType<typeof bandAt>['bass']) =>
  notes.map((note) => [round(note.seconds), note.midi]);

describe('the bass', () => {
  it('plays root, fifth and a tone into the next bass note', () => {
    const { bass } = bandAt(twoBars);
    const [g, d, lead, e] = told(bass);
    expect([g, d]).toEqual([
      [0, 31],
      [2, 38],
    ]);
    expect(lead![0]).toBe(3.5);
    expect(Math.abs(lead![1]! - 28) % 12).toBeLessThanOrEqual(2);
    expect(e).toEqual([4, 28]);
  });

  it('sounds where the capo puts it', () => {
    const plain = bandAt(twoBars).bass[0]!;
    const { bass } = bandAt({ ...twoBars, capo: 2 });
    expect(bass[0]!.midi).toBe(plain.midi + 2);
  });

  it('plays roots alone where the chart says so', () => {
    const { bass } = bandAt(withWords(twoBars, { bass: 'roots' }));
    expect(told(bass)).toEqual([
      [0, 31],
      [2, 31],
      [4, 28],
      [6, 28],
    ]);
  });

  it('walks a note to the beat', () => {
    const { bass } = bandAt(withWords(twoBars, { bass: 'walking' }));
    expect(bass.map((note) => round(note.seconds))).toEqual([0, 1, 2, 3, 4, 5, 6, 7]);
    expect(bass.slice(0, 3).map((note) => note.midi % 12)).toEqual([7, 11, 2]);
  });

  it('plays on one in a waltz and is silent where it is off', () => {
    const waltz = unitOf([{ chords: [['Am', 0]] }], meterOf(3, 4));
    expect(told(bandAt(waltz).bass)).toEqual([[0, 33]]);
    expect(bandAt(withWords(waltz, { bass: 'off' })).bass).toEqual([]);
  });

  it('lets a note sound until the next, never over it', () => {
    const { bass } = bandAt(twoBars);
    bass.slice(1).forEach((note, i) => expect(bass[i]!.until).toBeLessThan(note.seconds));
  });
});
