// Summaries per unit: what the Log shows.
import { describe, expect, it } from 'vitest';
import { summarise } from '../../../app/core/log/per-unit.ts';
import { pass } from './passes.ts';

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

  it('has no share when nobody judged', () => {
    const [verse] = summarise([pass('2031-04-05T09:00:00Z', { verdict: 'unjudged' })]);
    expect(verse).not.toHaveProperty('shareClean');
  });

  it('lists the unit played last first', () => {
    const units = summarise([
      pass('2031-04-05T09:00:00Z', { unitKey: 'section:Verse' }),
      pass('2031-04-06T09:00:00Z', { unitKey: 'section:Bridge' }),
    ]);
    expect(units.map((u) => u.unit.name)).toEqual(['Bridge', 'Verse']);
  });
});
