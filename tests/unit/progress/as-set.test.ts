// What was practised against what was set: passes on other bars, the differences in words, and who a file is for.
import { describe, expect, it } from 'vitest';
import {
  barsSetLast,
  mergeWords,
  partBySet,
  sayOnBars,
  withBarsOf,
} from '../../../app/core/progress/as-set.ts';
import { sayDifferences } from '../../../app/core/progress/bar-differences.ts';
import { assign } from '../../../app/core/progress/assignment.ts';
import {
  labelsOf,
  reportIsFrom,
  sayMismatch,
  sheetIsFor,
} from '../../../app/core/progress/whose.ts';
import { readChartText } from '../../../app/core/chart/notation/chart-text.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { loggedBar } from '../../../app/core/units/bars/logged-bars.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { pass } from '../log/passes.ts';
import { emptyDesk } from '../exchange/desk/example.ts';

const AT = '2031-04-01T10:00:00+02:00';
const chartWith = (third: string, more = '') =>
  unwrap(
    readChartText(
      `title: Harbour Steps
tempo: 90
meter: 4/4

[Verse]
| G | D | ${third} | C${more} |
`,
      'harbour',
    ),
  );
const verse = (third: string, more?: string) =>
  unwrap(resolveUnit(chartWith(third, more), { kind: 'section', section: 'Verse' }));
const barsOf = (third: string, more?: string) => verse(third, more).bars.map(loggedBar);

const asSet = verse('Bb');
const [assignment] = assign(chartWith('Bb'), [asSet], { at: AT, by: 'Ms Tern', newId: () => 'a1' });
const on = (day: number, third: string, key = asSet.key) =>
  pass(`2031-04-0${day}T18:00:00+02:00`, {
    chart: { id: 'harbour', title: 'Harbour Steps' },
    unit: { key, name: 'Verse', fingerprint: verse(third).fingerprint },
  });

describe('passes against the bars that were set', () => {
  const passes = [on(2, 'Bb'), on(3, 'C'), on(4, 'C'), on(5, 'Bb')];

  it('stand apart where they were played on other bars', () => {
    const { counted, other } = partBySet(assignment!, passes);
    expect(counted).toEqual([passes[0], passes[3]]);
    expect(other).toEqual([{ fingerprint: verse('C').fingerprint, passes: 2, last: '2031-04-04' }]);
  });

  it('count again once the teacher accepts their bars, and no longer when that is taken back', () => {
    const print = verse('C').fingerprint;
    const accepted = sayOnBars(assignment!, print, true, AT);
    expect(partBySet(accepted, passes)).toMatchObject({ counted: passes, other: [] });
    const back = sayOnBars(accepted, print, false, AT);
    expect(partBySet(back, passes).other).toHaveLength(1);
  });

  it('count under whatever name the bars were played', () => {
    expect(partBySet(assignment!, [on(2, 'Bb', 'bars:Verse:1-4')]).counted).toHaveLength(1);
  });

  it('all count where an old file does not say which bars were set', () => {
    const old = { ...assignment! };
    delete old.bars;
    expect(partBySet(old, passes)).toEqual({ counted: passes, other: [], accepted: [] });
  });

  it('are compared with the bars as they are handed out', () => {
    const later = '2031-04-06T10:00:00+02:00';
    const [again] = withBarsOf([assignment!], [chartWith('C')], later);
    expect(again!.bars).toEqual({ fingerprint: verse('C').fingerprint, since: later });
    expect(withBarsOf([assignment!], [chartWith('Bb')], later)).toEqual([assignment]);
    expect(barsSetLast(again!.bars, assignment!.bars)).toEqual(again!.bars);
  });

  it('keep the latest word on each version of the bars, in any order and however often', () => {
    const word = (fingerprint: string, day: number, counts: boolean) => ({
      fingerprint,
      at: `2031-04-0${day}T10:00:00Z`,
      counts,
    });
    const [a, b, c] = [word('x', 1, true), word('x', 2, false), word('y', 1, true)];
    const all = mergeWords([a, c], [b]);
    expect(all).toEqual([b, c]);
    expect(mergeWords([b], mergeWords([c, a], [a]))).toEqual(all);
  });
});

describe('the differences in words', () => {
  it.each([
    ['C', '', ['bar 3 was C, you set B♭']],
    ['Bb C', '', ['bar 3 was B♭ C, you set B♭']],
    ['Bb', ' | G', ['5 bars instead of 4']],
    ['Bb', '', []],
  ])('of %s%s', (third, more, words) => {
    expect(sayDifferences(barsOf('Bb'), barsOf(third, more), 'teacher')).toEqual(words);
  });

  it('are turned round for the player, and only counted after the third', () => {
    expect(sayDifferences(barsOf('Bb'), barsOf('C'), 'player')).toEqual([
      'bar 3 is C here, B♭ was set',
    ]);
    const four = (chord: string) =>
      [1, 2, 3, 4].flatMap((n) => barsOf(chord).map((bar) => ({ ...bar, section: `Verse ${n}` })));
    expect(sayDifferences(four('Bb'), four('C'), 'teacher').at(-1)).toBe('1 bar more');
  });

  it('are said once where bars come again', () => {
    const thrice = (chord: string) => [1, 2, 3].flatMap(() => barsOf(chord));
    expect(sayDifferences(thrice('Bb'), thrice('C'), 'teacher')).toEqual([
      'bar 3 was C, you set B♭',
    ]);
  });
});

describe('for whom a file is', () => {
  const ada = { ...emptyDesk, name: 'Ada', knownAs: { id: 's1', name: 'Ada' } };
  it.each([
    ['the one it was always for', ada, { id: 's1', name: 'Ada' }, 'mine'],
    ['somebody else', ada, { id: 's2', name: 'Ben' }, 'someone-else'],
    ['one of this name in another list', ada, { id: 's9', name: ' ada' }, 'another-list'],
    ['a player without a name', emptyDesk, { id: 's2', name: 'Ben' }, 'first'],
    [
      'a named player’s first sheet',
      { ...emptyDesk, name: 'Ada' },
      { id: 's1', name: 'Ada' },
      'first',
    ],
    [
      'a named player, for another',
      { ...emptyDesk, name: 'Ada' },
      { id: 's2', name: 'Ben' },
      'someone-else',
    ],
    [
      'one who stands in two lists',
      { ...ada, knownTo: [{ id: 's9', name: 'Ada', teacher: 'Mr Reed' }] },
      { id: 's9', name: 'Ada' },
      'mine',
    ],
  ])('a sheet opened by %s', (_, own, to, kind) => {
    expect(sheetIsFor(own, to).kind).toBe(kind);
  });

  it('a sheet for another of this name on the same list is told apart by its number', () => {
    const second = { id: 's1', name: 'Ada', teacher: 'Ms Tern', number: 2 };
    const own = { ...ada, knownTo: [second] };
    const first = { id: 's9', name: 'ada', number: 1 };
    expect(sheetIsFor(own, first, 'ms tern')).toEqual({
      kind: 'namesake',
      name: 'ada (1)',
      me: 'Ada (2)',
    });
    expect(sheetIsFor(own, first, 'Mr Reed').kind).toBe('another-list');
    // One of the name: she was taken off and stands there anew.
    expect(sheetIsFor(own, { id: 's9', name: 'Ada' }, 'Ms Tern').kind).toBe('another-list');
  });

  const student = (id: string, name: string, since = '2031-01-01T00:00:00Z') => ({
    ...emptyDesk,
    id,
    name,
    since,
  });

  it('a report is known by its identity, a namesake asks', () => {
    const desk = [student('s1', 'Ada'), { ...student('s2', 'Ben'), reportsAs: ['home'] }];
    expect(reportIsFrom(desk, { id: 's1', name: 'Ada' }).kind).toBe('known');
    expect(reportIsFrom(desk, { id: 'home', name: 'B' })).toMatchObject({ student: { id: 's2' } });
    expect(reportIsFrom(desk, { id: 's7', name: 'ADA' }).kind).toBe('namesake');
    expect(reportIsFrom(desk, { id: 's7', name: 'Cleo' }).kind).toBe('new');
    expect(sayMismatch(desk[0], { id: 's2', name: 'Ben' })).toContain('report is of Ben');
    expect(sayMismatch(desk[0], { id: 's8', name: 'Ada' })).toBeUndefined();
    expect(sayMismatch(student('s9', 'Ada'), { id: 's1', name: 'Ada' }, 'Ada (1)')).toBe(
      'This report is of Ada (1). Its passes would stand in the log of the other Ada.',
    );
    // An identity of one's own goes before one that was taken in once by mistake.
    const mistaken = [{ ...student('s3', 'Cleo'), reportsAs: ['s1'] }, ...desk];
    expect(reportIsFrom(mistaken, { id: 's1', name: 'Ada' })).toMatchObject({
      student: { id: 's1' },
    });
  });

  it('two students of one name are told apart in the order in which they came', () => {
    const labels = labelsOf([
      student('late', 'Ada', '2031-02-01T00:00:00Z'),
      student('early', 'ada '),
      student('ben', 'Ben'),
    ]);
    expect(Object.fromEntries(labels)).toEqual({ early: 'ada (1)', late: 'Ada (2)', ben: 'Ben' });
  });
});
