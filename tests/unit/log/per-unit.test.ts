// Summaries per unit: what the Log shows.
import { describe, expect, it } from 'vitest';
import { summarise } from '../../../app/core/log/per-unit.ts';
import { pass, passesOf } from './passes.ts';

describe('summarise', () => {
  it('gives nothing for an empty log', () => {
    expect(summarise([])).toEqual([]);
  });

  it('counts shares over judged passes only and minutes over all', () => {
    const [verse] = summarise([
      pass('2031-04-05T09:00:00Z', { verdict: 'clean' }),
      pass('2031-04-05T09:01:00Z', { verdict: 'missed', source: 'ear' }),
      pass('2031-04-05T09:02:00Z', { verdict: 'unjudged' }),
    ]);
    expect(verse).toMatchObject({
      clean: 1,
      missed: 1,
      unjudged: 1,
      shareClean: 0.5,
      minutes: 1.5,
    });
    expect(verse!.judgedBy).toEqual({ self: 1, ear: 1, pedal: 0, teacher: 0 });
  });

  it('has no share and no best tempo when nobody judged', () => {
    const [verse] = summarise([pass('2031-04-05T09:00:00Z', { verdict: 'unjudged' })]);
    expect(verse).not.toHaveProperty('shareClean');
    expect(verse).not.toHaveProperty('bestClean');
  });

  it('shows each sitting as a course, with its cold pass apart', () => {
    const [verse] = summarise([
      ...passesOf('2031-04-05T09:00:00+02:00', [60, 70, -80]),
      ...passesOf('2031-04-06T09:00:00+02:00', [-70, 70, 80]),
    ]);
    expect(verse!.bestClean).toBe(80);
    expect(verse!.sessions.map((s) => [s.date, s.bestClean, s.cold])).toEqual([
      ['2031-04-05', 70, { bpm: 60, verdict: 'clean' }],
      ['2031-04-06', 80, { bpm: 70, verdict: 'missed' }],
    ]);
    expect(verse!.sessions[0]!.course.map((p) => p.verdict)).toEqual(['clean', 'clean', 'missed']);
  });

  it('compares tempos of different beat units by their speed', () => {
    const dotted = pass('2031-04-05T09:00:00Z', {
      rung: { bpm: 60, beat: 'dotted-quarter', index: 0, of: 1, target: 80 },
    });
    const plain = pass('2031-04-05T09:01:00Z', { bpm: 81 }); // slower than ♩. = 60, which is ♩ = 90
    expect(summarise([dotted, plain])[0]).toMatchObject({ beat: 'quarter', bestClean: 90 });
  });

  it('lists the unit played last first', () => {
    const units = summarise([
      pass('2031-04-05T09:00:00Z', { unitKey: 'section:Verse' }),
      pass('2031-04-06T09:00:00Z', { unitKey: 'section:Bridge' }),
    ]);
    expect(units.map((u) => u.unit.name)).toEqual(['Bridge', 'Verse']);
  });
});
