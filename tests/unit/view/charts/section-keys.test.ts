// Keys that copy and move the section at the cursor: which keys, which section, and what the chart becomes.
import { describe, expect, test } from 'vitest';
import { readTypedChart } from '../../../../app/core/chart/notation/parse.ts';
import {
  changedBy,
  sectionAt,
  sectionChange,
} from '../../../../renderer/screens/charts/write/section-keys.ts';

const TEXT =
  'title: T\ntempo: 90\n\n[Verse]\n| G |\nwords: | la |\n\n[Chorus]\n| D |\n\nform:\nVerse x2\n';
const pressed = (key: string, held: Partial<Record<'altKey' | 'shiftKey' | 'ctrlKey', true>>) =>
  sectionChange({ key, altKey: false, shiftKey: false, ctrlKey: false, metaKey: false, ...held });

test('the keys', () => {
  expect(pressed('PageUp', { altKey: true })).toBe('up');
  expect(pressed('PageDown', { altKey: true })).toBe('down');
  expect(pressed('PageDown', { altKey: true, shiftKey: true })).toBe('copy');
  expect(pressed('PageUp', { altKey: true, shiftKey: true })).toBeUndefined();
  expect(pressed('PageDown', {})).toBeUndefined();
  expect(pressed('PageDown', { altKey: true, ctrlKey: true })).toBeUndefined();
});

test.each([
  [1, undefined],
  [4, 0],
  [6, 0],
  [8, 1],
  [12, 1],
])('line %i is in section %s', (line, section) => {
  expect(sectionAt(readTypedChart(TEXT).places, line)).toBe(section);
});

describe('the chart', () => {
  const { chart } = readTypedChart(TEXT);
  const names = (made: ReturnType<typeof changedBy>) =>
    made?.chart.sections.map(({ name }) => name).join(' ');

  test('copied behind itself, moved, and kept at the ends', () => {
    const copied = changedBy('copy', chart!, 0);
    expect([names(copied), copied?.index]).toEqual(['Verse Verse 2 Chorus', 1]);
    expect(names(changedBy('down', chart!, 0))).toBe('Chorus Verse');
    expect(changedBy('up', chart!, 0)).toBeUndefined();
    expect(changedBy('down', chart!, 1)).toBeUndefined();
    expect(changedBy('copy', chart!, 7)).toBeUndefined();
  });
});
