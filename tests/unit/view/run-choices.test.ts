// How a run-through is set up, and that it is remembered part by part.
import { describe, expect, test } from 'vitest';
import {
  holdOnOf,
  rememberedRun,
  rememberRun,
  slowBarsOf,
  USUAL_CHOICES,
  withinBars,
} from '../../../renderer/state/run/run-choices.ts';

function memory() {
  const kept = new Map<string, string>();
  return {
    kept,
    getItem: (key: string) => kept.get(key) ?? null,
    setItem: (key: string, value: string) => void kept.set(key, value),
    removeItem: (key: string) => void kept.delete(key),
  };
}

describe('where the band is silent', () => {
  test('nowhere at first', () => expect(holdOnOf(USUAL_CHOICES)).toBeUndefined());
  test('in turns', () =>
    expect(holdOnOf({ ...USUAL_CHOICES, without: 2 })).toEqual({
      kind: 'turns',
      with: 2,
      without: 2,
    }));
  test('in chosen bars, counted from 1', () =>
    expect(holdOnOf({ ...USUAL_CHOICES, silentBars: [3, 4, 9] })).toEqual({
      kind: 'bars',
      silent: [2, 3, 8],
    }));
  test('slow bars are counted alike', () =>
    expect(slowBarsOf({ ...USUAL_CHOICES, slowBars: [2] })).toEqual([1]));
});

test('bars that the part no longer has are chosen no more', () =>
  expect(withinBars({ ...USUAL_CHOICES, silentBars: [2, 9], slowBars: [8] }, 8)).toMatchObject({
    silentBars: [2],
    slowBars: [8],
  }));

describe('remembered', () => {
  const run = {
    choices: { ...USUAL_CHOICES, percent: 65, silentBars: [2, 5] },
    muted: ['drums'],
  };

  test('each part by itself', () => {
    const store = memory();
    rememberRun(store, 'a form', run);
    expect(rememberedRun(store, 'a form')).toEqual(run);
    expect(rememberedRun(store, 'a section:Verse')).toBeUndefined();
  });

  test('two hundred parts at most, the oldest go', () => {
    const store = memory();
    for (let i = 0; i < 205; i++) rememberRun(store, `${i}`, run);
    expect(rememberedRun(store, '4')).toBeUndefined();
    expect(rememberedRun(store, '204')).toEqual(run);
  });

  test.each([
    ['no JSON', '{'],
    ['another shape', '{"a":1}'],
    ['a pair of nothing', '[["a",null]]'],
  ])('%s is nothing', (_, text) => {
    const store = memory();
    store.kept.set('rungwise.run-choices', text);
    expect(rememberedRun(store, 'a')).toBeUndefined();
  });

  test('a value out of bounds costs only itself', () => {
    const store = memory();
    store.kept.set(
      'rungwise.run-choices',
      JSON.stringify([
        [
          'a',
          {
            choices: { percent: 900, step: 10, more: 1, slowBars: ['x'], silentBars: [0] },
            muted: [3, 'bass'],
          },
        ],
      ]),
    );
    expect(rememberedRun(store, 'a')).toEqual({
      choices: { ...USUAL_CHOICES, step: 10 },
      muted: ['bass'],
    });
  });
});
