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
  stageFit,
  type StageLoad,
} from '../../../renderer/screens/climb/stage-view.ts';
import { judgesWords } from '../../../renderer/page/judges.ts';
import { freeTitle } from '../../../renderer/state/library/free-title.ts';
import { readHash, writeHash } from '../../../renderer/state/shell/address.ts';

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
    const plain = { strip: false, under: false, parts: 0, ownLead: false, shapes: false };
    const linesThatFit = (load: StageLoad) => stageFit(load).rows;
    expect(linesThatFit({ height: 700, ...plain, under: true, shapes: true })).toBe(1);
    expect(linesThatFit({ height: 900, ...plain })).toBe(2);
    expect(linesThatFit({ height: 900, ...plain, under: true, shapes: true })).toBe(1);
    expect(linesThatFit({ height: 900, ...plain, parts: 1 })).toBe(1);
    expect(linesThatFit({ height: 700, ...plain, under: true })).toBe(2);
    expect(linesThatFit({ height: 700, ...plain, under: true, words: true })).toBe(1);
    expect(linesThatFit({ height: 450, ...plain })).toBe(0);
    expect(linesThatFit({ height: 450, ...plain, parts: 1 })).toBe(0);
    expect(linesThatFit({ height: 450, ...plain, parts: 1, ownLead: true })).toBe(1);
    expect(linesThatFit({ height: 700, ...plain, under: true, tour: true })).toBe(1);
  });
  test('of several guitars as many are shown as leave the chords a third of the height', () => {
    const played = { strip: false, under: true, shapes: true, words: true, ownLead: false };
    const shown = (height: number, parts: number) => stageFit({ ...played, height, parts }).parts;
    expect([shown(900, 2), shown(700, 2), shown(700, 1), shown(450, 2)]).toEqual([2, 1, 1, 0]);
    for (const height of [540, 600, 700, 768, 900, 1080, 1440]) {
      for (const parts of [1, 2, 3]) {
        const { em, parts: drawn, rows } = stageFit({ ...played, height, parts });
        // Head, sung line and bars as Stage.svelte draws them: 9.4 letters a part, 5.9 for the rest of a bar.
        const bars = drawn > 0 ? rows * (em * (5.9 + 9.4 * drawn) + 24) : 0;
        expect(height - 96 - 0.08 * height - bars).toBeGreaterThanOrEqual(0.34 * height - 1);
        expect(em).toBeGreaterThanOrEqual(15);
      }
    }
  });
  test('the lead that is climbed is shown in any window', () => {
    const climbed = { strip: false, under: false, shapes: false, ownLead: true, parts: 2 };
    for (const height of [240, 350, 450, 540, 700]) {
      const { rows, parts, em } = stageFit({ ...climbed, height });
      expect([rows, parts >= 1, em >= 12]).toEqual([1, true, true]);
    }
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
