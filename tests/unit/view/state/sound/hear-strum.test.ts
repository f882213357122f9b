// "Hear it": what is handed to the player for a pattern, of one bar or of two.
import { expect, test } from 'vitest';
import { meterOf } from '../../../../../app/core/rhythm/meter.ts';
import { parseStrum } from '../../../../../app/core/rhythm/strum.ts';
import type { Tempo } from '../../../../../app/core/model/chart.ts';
import { unwrap } from '../../../../../app/core/base/result.ts';
import type { StringNote } from '../../../../../app/core/sound/strum-notes.ts';
import type { Lap } from '../../../../../app/core/timeline/model.ts';
import { hearStrum } from '../../../../../renderer/state/sound/hear-strum.ts';

const STRAIGHT = { kind: 'straight' } as const;
const QUARTERS_88: Tempo = { bpm: 88, beat: 'quarter' };

/** A player that keeps what it is asked, behind words of care that are read at once. */
async function heard(pattern: string, meter = meterOf(4, 4), tempo: Tempo = QUARTERS_88) {
  const asked: string[] = [];
  let laps: { lap: Lap; model: readonly StringNote[] } | undefined;
  const player = {
    stop: () => asked.push('stop'),
    prepare: () => Promise.resolve(asked.push('prepare')),
    earliest: () => 0,
    schedule: (lap: Lap, _at: number, { model }: { model: readonly StringNote[] }) => {
      asked.push('schedule');
      laps = { lap, model };
    },
  };
  const around = {
    firstSound: { before: (then: () => void) => then() },
    sound: { open: () => Promise.resolve(player) },
  } as unknown as Parameters<typeof hearStrum>[0];
  hearStrum(around, { pattern: unwrap(parseStrum(pattern)), meter, feel: STRAIGHT, tempo });
  await new Promise((resume) => setTimeout(resume));
  return { asked, ...laps! };
}

/** Moments at which the first string of a stroke is struck, in quarters of ♩ = 88 from the start. */
const strokes = (model: readonly StringNote[]): number[] => {
  const moments = model.map(({ seconds }) => Math.round((seconds * 88 * 2) / 60) / 2);
  return [...new Set(moments)];
};

test('what sounded before is silenced, then two bars are played', async () => {
  const { asked, lap, model } = await heard('eighths D- D- D- DU');
  expect(asked).toEqual(['stop', 'prepare', 'schedule']);
  expect(lap.bars).toHaveLength(2);
  expect(strokes(model)).toEqual([0, 1, 2, 3, 3.5, 4, 5, 6, 7, 7.5]);
});

test('a pattern over two bars is played once, half in each', async () => {
  const { model } = await heard('eighths D- -- -- -- D- DU -U DU');
  expect(strokes(model)).toEqual([0, 4, 5, 5.5, 6.5, 7, 7.5]);
});

test('a waltz is three beats', async () => {
  const { lap, model } = await heard('eighths D- D- D-', meterOf(3, 4));
  expect(lap.bars.map(({ length }) => length.n)).toEqual([3, 3]);
  expect(strokes(model)).toEqual([0, 1, 2, 3, 4, 5]);
});

test.each([
  ['the chart’s tempo', { bpm: 100, beat: 'quarter' }, 0.6],
  ['one that is too slow to follow', { bpm: 40, beat: 'quarter' }, 1],
  ['one that is too fast', { bpm: 220, beat: 'quarter' }, 60 / 144],
  ['half notes', { bpm: 60, beat: 'half' }, 0.5],
] as const)('seconds of a quarter note at %s', async (_, tempo, seconds) => {
  const { model } = await heard('eighths D- D- D- D-', meterOf(4, 4), tempo);
  const [first, ...rest] = [...new Set(model.map((note) => note.seconds))].toSorted(
    (a, b) => a - b,
  );
  expect(rest.find((at) => at - first! > 0.2)! - first!).toBeCloseTo(seconds, 1);
});
