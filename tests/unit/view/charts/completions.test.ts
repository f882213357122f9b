// What the editor offers to type, by the place of the cursor.
import { expect, test } from 'vitest';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import { completionsFor } from '../../../../renderer/screens/charts/write/completions.ts';

const ABOVE = 'title: T\nkey: G\ntempo: 96\n[Verse]\n| G | D |\n';
const chart = unwrap(parseChart(ABOVE));
const offered = (before: string, above = ABOVE): string[] =>
  completionsFor(chart, before, before, above).map(({ label }) => label);

test('names of sections: those that the chart lacks first, then the next of those it has', () => {
  expect(offered('[Br')).toContain('Bridge');
  expect(offered('[').at(0)).toBe('Intro');
  expect(offered('[').at(-1)).toBe('Verse 2');
});

test('the chords of the key come first in a bar', () => {
  expect(offered('| ').slice(0, 6)).toEqual(
    expect.arrayContaining(['G', 'Am', 'Bm', 'C', 'D', 'Em']),
  );
});

test.each([
  ['a field at the top', 't', 'title: T\n', 'tempo: ♩ = '],
  ['a field of a section', 's', ABOVE, 'strum: '],
  ['a section of the form', 'form: V', ABOVE, 'Verse'],
  ['a section of the form on a line of its own', 'V', `${ABOVE}form:\n`, 'Verse'],
  ['a section to borrow from', 'like: ', `${ABOVE}[B]\n`, 'Verse'],
  ['a tuning', 'tuning: dr', 'title: T\n', 'drop D'],
  ['a feel', 'feel: sw', 'title: T\n', 'swing 8 2:1'],
  ['a meter', 'meter: 6', 'title: T\n', '6/8'],
  ['a strum that fits', 'strum: ei', ABOVE, 'eighths D- DU -U DU'],
])('%s', (_, before, above, wanted) => {
  expect(offered(before, above)).toContain(wanted);
});

test('no field of a section is offered at the top, and none of the top under a section', () => {
  expect(offered('', 'title: T\n')).not.toContain('strum: ');
  expect(offered('', ABOVE)).not.toContain('title: ');
});
