// A unit after an edit: same music is found again, other music is said to be other.
import { describe, expect, test } from 'vitest';
import { findUnitAgain } from '../../../app/core/units/find.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import type { Unit, UnitRef } from '../../../app/core/model/unit.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { loggedBar } from '../../../app/core/units/bars/logged-bars.ts';

const BEFORE = `title: Test
tempo: 100
[Verse]
| G | D | Em | C |
[Bridge]
| Am | % | D | % |
form: Verse x2, Bridge, Verse`;

const chart = (text: string): Chart => ({ id: 'test', ...unwrap(parseChart(text)) });
const practised = (ref: UnitRef): Unit => unwrap(resolveUnit(chart(BEFORE), ref));
const again = (text: string, { key, fingerprint, bars }: Unit) =>
  findUnitAgain(chart(text), key, fingerprint, bars.map(loggedBar));

const VERSE = practised({ kind: 'section', section: 'Verse' });

describe('the same music', () => {
  test('stays the same under another title, tempo and with other sections edited', () => {
    const edited = BEFORE.replace('Test', 'Other')
      .replace('100', '140')
      .replace('| Am |', '| A7 |');
    expect(again(edited, VERSE)).toMatchObject({ kind: 'same', unit: { key: 'section:Verse' } });
  });

  test('is found under another name', () => {
    const found = again(BEFORE.replaceAll('Verse', 'Chorus'), VERSE);
    expect(found).toMatchObject({ kind: 'moved', unit: { key: 'section:Chorus' } });
    expect(found.words).toBe('The same bars are now Chorus.');
  });

  test('a range that moved down by a bar', () => {
    const range = practised({ kind: 'bars', section: 'Verse', from: 2, to: 3 });
    expect(again(BEFORE.replace('| G |', '| G | A |'), range)).toMatchObject({
      kind: 'moved',
      unit: { key: 'bars:Verse:3-4' },
    });
  });

  test('a join and a stretch after an entry was put before them', () => {
    const join = practised({ kind: 'join', entry: 1, before: 2, after: 1 });
    const stretch = practised({ kind: 'stretch', fromEntry: 1, toEntry: 2 });
    const edited = BEFORE.replace('form: Verse', 'form: Bridge, Verse');
    expect(again(edited, join)).toMatchObject({ kind: 'moved', unit: { key: 'join:2:2+1' } });
    expect(again(edited, stretch)).toMatchObject({ kind: 'moved', unit: { key: 'stretch:2-3' } });
  });
});

describe('other music', () => {
  test('at the same place says how much of it is as before', () => {
    const found = again(BEFORE.replace('| Em | C |', '| Em | C7 | C |'), VERSE);
    expect(found).toMatchObject({ kind: 'changed', sameBars: 4, ofBars: 5 });
    expect(found.words).toContain('4 of 5 bars are as before');
  });

  test('a change of strum, feel or pinned shape is another unit; a retyped chord is not', () => {
    const kindOf = (from: string, to: string): string =>
      again(BEFORE.replace(from, to), VERSE).kind;
    expect(kindOf('[Verse]', '[Verse]\nstrum: eighths DU')).toBe('changed');
    expect(kindOf('[Verse]', '[Verse]\nfeel: swing 8 2:1')).toBe('changed');
    expect(kindOf('| G |', '| G[355433] |')).toBe('changed');
    expect(kindOf('| D |', '| D / / / |')).toBe('same');
  });

  test('without the old bars it is only said to be edited', () => {
    const found = findUnitAgain(
      chart(BEFORE.replace('| Em |', '| E |')),
      VERSE.key,
      VERSE.fingerprint,
    );
    expect(found).toMatchObject({ kind: 'changed' });
    expect(found).not.toHaveProperty('sameBars');
  });

  test('a section that was taken out is gone, and its history stays', () => {
    const bridge = practised({ kind: 'section', section: 'Bridge' });
    const edited = BEFORE.replace(/\[Bridge\]\n.*\n/, '').replace(' Bridge,', '');
    expect(again(edited, bridge)).toEqual({
      kind: 'gone',
      words: 'Gone from this chart: ‘Bridge’ is not in the chart. Its history stays.',
    });
  });

  test('a key from nowhere is gone too', () => {
    expect(findUnitAgain(chart(BEFORE), 'nonsense', VERSE.fingerprint).kind).toBe('gone');
  });
});

test('a tempo change inside the unit belongs to it, the tempo itself does not', () => {
  const form = practised({ kind: 'form' });
  const faster = BEFORE.replace('100', '120');
  const slowBridge = BEFORE.replace('[Bridge]', '[Bridge]\ntempo: 80');
  expect(again(faster, form).kind).toBe('same');
  expect(again(slowBridge, form).kind).toBe('changed');
});
