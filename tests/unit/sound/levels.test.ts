// The balance of what sounds, by ITU-R BS.1770 at the usual levels: one stroke in 400 ms, playing on in 3 s.
import { beforeAll, describe, expect, it } from 'vitest';
import { CLICK_TIMBRES } from '../../../app/core/timeline/click-voices.ts';
import { clicking, guitarStroke, SHAPES, stroke, strumming } from '../../support/balance.ts';
import { loudest, SHORT_TERM } from '../../support/loudness.ts';

describe.each(CLICK_TIMBRES)('on %s', (timbre) => {
  it('a change is at least as loud as a beat, a cue no softer than 1 dB below it', () => {
    expect(stroke('change')).toBeGreaterThanOrEqual(stroke('beat', timbre));
    expect(stroke('cue')).toBeGreaterThan(stroke('beat', timbre) - 1);
  });

  it('the accents of the meter fall from bar over group to beat', () => {
    expect(stroke('bar', timbre)).toBeGreaterThan(stroke('group', timbre));
    expect(stroke('group', timbre)).toBeGreaterThan(stroke('beat', timbre));
  });

  it('is as loud as the other timbres within 1.5 dB', () => {
    for (const voice of ['bar', 'group', 'beat', 'subdivision'] as const) {
      expect(Math.abs(stroke(voice, timbre) - stroke(voice, 'wood'))).toBeLessThan(1.5);
    }
  });
});

describe('the model guitar', () => {
  const clicks = new Map<string, number>();
  beforeAll(() => {
    for (const timbre of CLICK_TIMBRES) clicks.set(timbre, clicking(timbre));
  });

  it.each(Object.keys(SHAPES) as (keyof typeof SHAPES)[])(
    'on %s lies within 3 dB of every click',
    (shape) => {
      for (const text of ['eighths D- D- D- D-', 'eighths DU DU DU DU', 'eighths D- DU -U DU']) {
        const guitar = loudest(strumming(text, shape), SHORT_TERM);
        for (const [timbre, click] of clicks) {
          expect(Math.abs(guitar - click), `${text} on ${timbre}`).toBeLessThan(3);
        }
      }
    },
  );
});

it.each(Object.keys(SHAPES) as (keyof typeof SHAPES)[])(
  'an up-stroke on %s is within 3 dB of a beat and of a down-stroke',
  (shape) => {
    const up = guitarStroke('eighths U- -- -- --', shape);
    expect(up).toBeGreaterThan(stroke('beat') - 3);
    expect(up).toBeGreaterThan(guitarStroke('eighths D- -- -- --', shape) - 3);
  },
);

it('count-in, entrance and rest bars: sticks as loud as the beat, the last one louder, rest well below', () => {
  expect(Math.abs(stroke('count') - stroke('beat'))).toBeLessThan(1.5);
  expect(stroke('entrance')).toBeGreaterThan(stroke('count') + 3);
  expect(stroke('rest')).toBeLessThan(stroke('beat') - 6);
});
