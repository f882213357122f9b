// Bars as they are drawn: slashes, signs and the words a screen reader gets, from typed charts.
import { expect, test } from 'vitest';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { drawnSection, drawnUnit } from '../../../renderer/parts/bars/drawn-bars.ts';

const chart = (meter: string, bars: string) =>
  unwrap(parseChart(`title: T\ntempo: q = 100\nmeter: ${meter}\n[Verse]\n${bars}\nform:\nVerse`));

const drawn = (meter: string, bars: string) => {
  const c = chart(meter, bars);
  return drawnSection(c.sections[0]!, c);
};

test('a bar of four has four slashes, its chords at their share of the bar', () => {
  const [bar] = drawn('4/4', '| F#m / / Bb |');
  expect(bar?.beats).toEqual([0, 0.25, 0.5, 0.75]);
  expect(bar?.chords.map((c) => [c.printed, c.at])).toEqual([
    ['F♯m', 0],
    ['B♭', 0.75],
  ]);
  expect(bar?.spoken).toBe('Bar 1, F♯m, B♭ on beat 4');
});

test('compound time has one slash per dotted beat', () => {
  const [bar] = drawn('6/8', '| G C |');
  expect(bar?.beats).toEqual([0, 0.5]);
  expect(bar?.spoken).toBe('Bar 1, G, C on beat 2');
});

test.each([
  ['7/8', '| Em / C |', 'Bar 1, Em, C on beat 3'],
  ['7/8 (3+2+2)', '| Em C / |', 'Bar 1, Em, C on beat 2'],
  ['5/8', '| Em C |', 'Bar 1, Em, C on beat 2'],
  ['4/4', '| G (/ C) / D |', 'Bar 1, G, C after beat 2, D on beat 4'],
  ['4/4', '| pickup 2/4 D A | G |', 'Pickup, D, A on beat 4'],
])('%s, %s: chords are told with the beats that are counted', (meter, bars, spoken) => {
  expect(drawn(meter, bars)[0]?.spoken).toBe(spoken);
});

test('a pickup has only the last beats of its meter', () => {
  const [pickup] = drawn('4/4', '| pickup 1/4 D | G |');
  expect(pickup?.beats).toEqual([0]);
  expect(pickup?.spoken).toBe('Pickup, D');
});

test('simile, repeats, endings and a changed meter are signs and words', () => {
  const bars = drawn('4/4', '|: G | % |1. C :|2. 3/4 D |');
  expect(bars.map((b) => b.spoken)).toEqual([
    'Bar 1, repeat starts, G',
    'Bar 2, as the bar before',
    'Bar 3, ending 1., C, repeat ends, 2 times in all',
    'Bar 4, 3/4, ending 2., D',
  ]);
});

test('a unit is drawn as it is played: the repeat unrolled, headings where a section begins', () => {
  const unit = unwrap(
    resolveUnit(chart('4/4', '|: G | C :|'), { kind: 'section', section: 'Verse' }),
  );
  const bars = drawnUnit(unit.bars);
  expect(bars.map((b) => b.chords[0]?.printed)).toEqual(['G', 'C', 'G', 'C']);
  expect(bars.map((b) => b.heading)).toEqual(['Verse', undefined, undefined, undefined]);
});
