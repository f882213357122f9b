// Sittings with one unit: what its card in the Log shows.
import { describe, expect, it } from 'vitest';
import { sittingsOf } from '../../../app/core/log/sittings.ts';
import { pass, passesOf } from './passes.ts';

describe('sittingsOf', () => {
  it('gives none without passes', () => {
    expect(sittingsOf([])).toEqual([]);
  });

  it('shows each sitting as a course, with its cold pass apart', () => {
    const sittings = sittingsOf([
      ...passesOf('2031-04-05T09:00:00+02:00', [60, 70, -80]),
      ...passesOf('2031-04-06T09:00:00+02:00', [-70, 70, 80]),
    ]);
    expect(sittings.map((s) => [s.date, s.bestClean, s.cold])).toEqual([
      ['2031-04-05', 70, { bpm: 60, verdict: 'clean' }],
      ['2031-04-06', 80, { bpm: 70, verdict: 'missed' }],
    ]);
    expect(sittings[0]!.course.map((p) => p.verdict)).toEqual(['clean', 'clean', 'missed']);
  });

  it('compares tempos of different beat units by their speed', () => {
    const dotted = pass('2031-04-05T09:00:00Z', {
      rung: { bpm: 60, beat: 'dotted-quarter', index: 0, of: 1, target: 80 },
    });
    const plain = pass('2031-04-05T09:01:00Z', { bpm: 81 }); // slower than ♩. = 60, which is ♩ = 90
    const [sitting] = sittingsOf([dotted, plain]);
    expect(sitting).toMatchObject({ bestClean: 90, course: [{ bpm: 90 }, { bpm: 81 }] });
  });

  it('knows no best tempo where nobody judged', () => {
    const [sitting] = sittingsOf([pass('2031-04-05T09:00:00Z', { verdict: 'unjudged' })]);
    expect(sitting).not.toHaveProperty('bestClean');
  });
});
