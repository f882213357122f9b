// The small pure helpers of the view, by example.
import { describe, expect, test } from 'vitest';
import { readNumber } from '../../../renderer/page/read-number.ts';
import { fileName } from '../../../renderer/page/save-file.ts';
import { symbolWidth } from '../../../renderer/page/symbol-width.ts';
import {
  bpmWords,
  counted,
  dayWords,
  momentWords,
  tempoWords,
} from '../../../renderer/page/words.ts';
import { legAt } from '../../../renderer/parts/bars/legs.ts';
import {
  barShare,
  beatsUntil,
  firstShown,
  linesThatFit,
} from '../../../renderer/screens/climb/stage-view.ts';
import { judgesWords } from '../../../renderer/screens/log/log-words.ts';
import { freeTitle } from '../../../renderer/state/library/free-title.ts';
import { readHash, writeHash } from '../../../renderer/state/shell/router.svelte.ts';

describe('numbers as typed', () => {
  test.each([
    ['92', 92],
    [' 92,5 ', 92.5],
    ['.5', 0.5],
  ])('%j is %d', (typed, value) => {
    expect(readNumber(typed, 0, 400)).toEqual({ ok: true, value });
  });
  test.each(['', 'fast', '12e3', '401', '−5', '1.2.3', 'Infinity'])('%j is refused', (typed) => {
    expect(readNumber(typed, 20, 400)).toEqual({
      ok: false,
      problem: 'write a number from 20 to 400.',
    });
  });
});

describe('addresses', () => {
  test.each([
    ['#/charts/a b/edit', ['charts', 'a b', 'edit']],
    ['#/climb/x/section%3AVerse%2FB', ['climb', 'x', 'section:Verse/B']],
    ['', []],
    ['#/100%', ['100%']],
  ])('%j leads to %j', (hash, parts) => {
    expect(readHash(hash)).toEqual(parts);
  });
  test('what is written is read back', () => {
    const parts = ['climb', 'id/with %', 'pair:F#m:C'];
    expect(readHash(writeHash(parts))).toEqual(parts);
  });
});

describe('words', () => {
  test('tempos carry their beat', () => {
    expect(tempoWords(58, 'dotted-quarter')).toBe('58 bpm (dotted quarter)');
    expect(bpmWords(92.46)).toBe('92.5');
  });
  test('counts', () => {
    expect(counted(1, 'pass', 'passes')).toBe('1 pass');
    expect(counted(0, 'bar')).toBe('0 bars');
  });
  test('a figure names its judges; a day is the player’s own', () => {
    expect(judgesWords({ self: 12, ear: 3, pedal: 0, teacher: 0 })).toBe('yourself 12, the ear 3');
    expect(judgesWords({ self: 0, ear: 0, pedal: 0, teacher: 0 })).toBe('nobody yet');
    expect(dayWords('2031-04-05T23:50:00.000-11:00')).toBe('Sat, 5 Apr 2031');
    expect(momentWords('2031-04-05T23:50:00.000-11:00')).toBe('Sat, 5 Apr 2031, 23:50');
  });
  test('file names are safe on every system', () => {
    expect(fileName('A/B: “Ça” <va>?', '.json')).toBe('A B Ça va.json');
    expect(fileName('...', '.json')).toBe('chart.json');
  });
  test('a copy gets a title of its own', () => {
    expect(freeTitle('New chart', [{ title: 'New chart' }, { title: 'New chart 2' }])).toBe(
      'New chart 3',
    );
  });
  test('a longer symbol is wider', () => {
    expect(symbolWidth('C♯m7♭5')).toBeGreaterThan(symbolWidth('C♯m'));
  });
});

describe('the stage', () => {
  test('beats until the change count down to 1, never 0', () => {
    expect(
      [4, 3.99, 3, 1.2, 1, 0.01].map((beatsUntilNext) => beatsUntil({ beatsUntilNext })),
    ).toEqual([4, 4, 3, 2, 1, 1]);
    expect(beatsUntil({})).toBeUndefined();
  });
  test('the playhead runs from 0 to 1 within its bar, also where a pickup starts late', () => {
    expect(barShare({ beat: 1, beatShare: 0 }, 1, 4)).toBe(0);
    expect(barShare({ beat: 4, beatShare: 0.5 }, 1, 4)).toBe(0.875);
    expect(barShare({ beat: 4, beatShare: 0.5 }, 4, 1)).toBe(0.5);
  });
  test('lines turn with their first bar', () => {
    expect([0, 3, 4, 9].map((bar) => firstShown(bar))).toEqual([0, 0, 4, 8]);
  });
  test('a low stage shows one line of bars, so that the chords stay large', () => {
    const plain = { strip: false, under: false, over: false, shapes: false };
    expect(linesThatFit({ height: 700, ...plain, under: true, shapes: true })).toBe(1);
    expect(linesThatFit({ height: 900, ...plain })).toBe(2);
    expect(linesThatFit({ height: 900, ...plain, under: true, shapes: true })).toBe(1);
    expect(linesThatFit({ height: 900, ...plain, over: true })).toBe(1);
    expect(linesThatFit({ height: 700, ...plain, under: true })).toBe(2);
    expect(linesThatFit({ height: 700, ...plain, under: true, words: true })).toBe(1);
    expect(linesThatFit({ height: 450, ...plain })).toBe(0);
    expect(linesThatFit({ height: 450, ...plain, over: true })).toBe(1);
  });
  test('bars to go within a leg', () => {
    const legs = [
      { section: 'Verse', from: 0, to: 7 },
      { section: 'Chorus', from: 8, to: 11 },
    ];
    expect(legAt(legs, 7)).toEqual({ index: 0, toGo: 0 });
    expect(legAt(legs, 8)).toEqual({ index: 1, toGo: 3 });
  });
});
