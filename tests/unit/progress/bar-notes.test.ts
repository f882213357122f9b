// A note that names bars: which lines stand at which bars, and what stays with the whole part.
import { describe, expect, it } from 'vitest';
import { readChartText } from '../../../app/core/chart/notation/chart-text.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { noteInPlace } from '../../../app/core/progress/bar-notes.ts';
import type { UnitRef } from '../../../app/core/model/unit.ts';

const chart = unwrap(
  readChartText(
    'title: Pier\ntempo: 90\nmeter: 4/4\n\n[Verse]\n| pickup 1/4 G | C | G | Am | F |\n\n[Chorus]\n| F | G | C | C |\n\nform:\nVerse\nChorus\n',
    'pier',
  ),
);
const barsOf = (ref: UnitRef) => unwrap(resolveUnit(chart, ref)).bars;
const verse = barsOf({ kind: 'section', section: 'Verse' });
const song = barsOf({ kind: 'form' });
/** Which bars, from 0, have something said at them. */
const said = (note: string, bars = verse) =>
  noteInPlace(note, bars).atBars.flatMap((texts, i) => (texts.length > 0 ? [[i, ...texts]] : []));

describe('a line that names bars stands at them', () => {
  // The verse begins with a pickup, which has no number: bar 1 is the second one.
  it.each([
    ['Bar 2: thumb down', [[2, 'thumb down']]],
    [
      'bars 2–3: light',
      [
        [2, 'light'],
        [3, 'light'],
      ],
    ],
    [
      'Bars 1, 4: breathe',
      [
        [1, 'breathe'],
        [4, 'breathe'],
      ],
    ],
    [
      'Bars 3 to 4: softly',
      [
        [3, 'softly'],
        [4, 'softly'],
      ],
    ],
    [
      'bar 1: one; bar 4: two',
      [
        [1, 'one'],
        [4, 'two'],
      ],
    ],
    ['Bar 4 – let it ring', [[4, 'let it ring']]],
    ['Bar 3: a\nBar 3: b', [[3, 'a', 'b']]],
  ])('%s', (note, expected) => {
    expect(said(note)).toEqual(expected);
    expect(noteInPlace(note, verse).whole).toBe('');
  });

  it('in a section where several have a bar of that number', () => {
    expect(said('Chorus, bar 2: loud', song)).toEqual([[6, 'loud']]);
    expect(said('Bar 2: count', song)).toEqual([
      [2, 'count'],
      [6, 'count'],
    ]);
    expect(noteInPlace('Bar 2: count', song).placed).toEqual([
      { where: 'bar 2 of Verse, bar 2 of Chorus', text: 'count' },
    ]);
  });
});

describe('everything else stays with the whole part', () => {
  it.each([
    'Lightly, from the wrist.',
    'Before bar 3: breathe',
    'Bar 3 is the hard one',
    'Play 2 bars: then rest',
    '; bar',
  ])('%s', (note) => {
    expect(said(note)).toEqual([]);
    expect(noteInPlace(note, verse).whole).toBe(note);
  });

  it('also a line for a bar that is not there, and says so', () => {
    for (const line of ['Bar 9: far', 'Verse, bar 9: far']) {
      const { whole, nowhere } = noteInPlace(`Softly\n${line}`, verse);
      expect(whole).toBe(`Softly\n${line}`);
      expect(nowhere).toEqual([line]);
    }
  });

  it('in no time, whatever the text', () => {
    for (const part of ['bar ', ' ', '; ', 'bars 1,', '1-']) {
      const note = part.repeat(Math.ceil(4_000 / part.length));
      expect(noteInPlace(note, verse).placed).toEqual([]);
    }
  });
});
