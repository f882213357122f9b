// When the notes of a lead line sound: written lengths, holds, swing, triplets and tempo.
import { describe, expect, it } from 'vitest';
import type { Chart } from '../../../app/core/model/chart.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { leadMoments } from '../../../app/core/timeline/lead.ts';
import type { CountIn } from '../../../app/core/timeline/model.ts';

interface Setting {
  readonly feel?: string;
  readonly countIn?: CountIn;
}

const moments = (part: string, { feel = 'straight', countIn = 'none' }: Setting = {}) => {
  const text = `title: T\nkey: G\ntempo: ♩ = 90\nmeter: 4/4\nfeel: ${feel}\n\n[A]\n| G | G |\nline: L, bar 1\npart One: ${part}\n`;
  const chart: Chart = { id: 'c', ...unwrap(parseChart(text)) };
  const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'A' }));
  return leadMoments(unit, 60, { countIn, restBars: 0 }, { lead: 'L', part: 'One' });
};
const times = (...args: Parameters<typeof moments>) =>
  moments(...args).map((m) => [Number(m.seconds.toFixed(6)), Number(m.until.toFixed(6))]);

it('quarter notes at 60 bpm last a second (definition of bpm)', () => {
  expect(times('| 4 3/5 3/7 r 2/5 |')).toEqual([
    [0, 1],
    [1, 2],
    [3, 4],
  ]);
});

it('a hold lengthens the note before it, also over a bar line', () => {
  expect(times('| 1 3/5 | 2 - r |')).toEqual([[0, 6]]);
});

it('the line starts after the count-in', () => {
  expect(times('| 1 3/5 |', { countIn: 'one' })).toEqual([[4, 8]]);
});

describe('swing of eighths at 2:1', () => {
  it('delays the second eighth to two thirds of the beat', () => {
    const [, second] = times('| 8 3/5 3/7 4 r 2 r |', { feel: 'swing 8 2:1' });
    expect(second).toEqual([0.666667, 1]);
  });
  it('leaves triplets even', () => {
    expect(times('| 8t 3/5 3/6 3/7 4 r 2 r |', { feel: 'swing 8 2:1' })).toEqual([
      [0, 0.333333],
      [0.333333, 0.666667],
      [0.666667, 1],
    ]);
  });
});

it('knows the pitch of every note that has one', () => {
  const [first, second] = moments('| 2 1/0 5/x |');
  expect(first!.notes[0]!.pitch).toBe(64);
  expect(second!.notes[0]!.pitch).toBeUndefined();
});

it('is empty where the unit does not play the part', () => {
  const chart: Chart = {
    id: 'c',
    ...unwrap(parseChart('title: T\ntempo: ♩ = 90\nmeter: 4/4\n\n[A]\n| G |\n')),
  };
  const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'A' }));
  expect(
    leadMoments(unit, 60, { countIn: 'one', restBars: 1 }, { lead: 'L', part: 'One' }),
  ).toEqual([]);
});
