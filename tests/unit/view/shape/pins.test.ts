// Pinning a shape writes it into the chart, everywhere or at one place; the hands of a section follow.
import { describe, expect, test } from 'vitest';
import { parseFrets, printFrets } from '../../../../app/core/fretboard/frets.ts';
import type { ChartBody } from '../../../../app/core/model/chart.ts';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../../app/core/chart/notation/print.ts';
import { rational, ZERO } from '../../../../app/core/base/rational.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import {
  isPinned,
  pinEverywhere,
  pinHere,
  unpin,
} from '../../../../renderer/screens/charts/shapes/pins.ts';
import { placed } from '../../../../renderer/screens/charts/shapes/placed.ts';
import { sectionHands } from '../../../../renderer/screens/charts/shapes/section-hands.ts';

const chart = (bars: string): ChartBody =>
  unwrap(parseChart(`title: T\ntempo: q = 90\nmeter: 4/4\n\n[Verse]\n${bars}\n`));
const G3 = unwrap(parseFrets('355433'));
const shown = (body: ChartBody) =>
  sectionHands(body, 'Verse')!.uses.map(
    ({ step, places }) =>
      `${step.step.chord.symbol} ${printFrets(step.shape.frets)} bars ${places.map((p) => p.bar).join()}`,
  );

describe('pins', () => {
  const row = chart('| G | C / G / | G |');

  test('everywhere: one line of the text, every place plays it', () => {
    const pinned = pinEverywhere(row, 'G', G3);
    expect(printChart(pinned)).toContain('shape G = 355433');
    expect(shown(pinned)[0]).toBe('G 355433 bars 1,2');
    expect(shown(pinned)).toHaveLength(2);
    expect(isPinned(pinned, 'G')).toBe(true);
    expect(isPinned(pinned, 'C')).toBe(false);
  });

  test('again: the new shape takes the place of the old one', () => {
    const twice = pinEverywhere(pinEverywhere(row, 'G', G3), 'G', unwrap(parseFrets('320003')));
    expect(twice.shapes).toHaveLength(1);
    expect(printFrets(twice.shapes[0]!.frets)).toBe('320003');
  });

  test('everywhere means the places with pins of their own, too', () => {
    const one = pinHere(
      row,
      { section: 'Verse', bar: 2, at: rational(2) },
      unwrap(parseFrets('320003')),
    );
    expect(shown(pinEverywhere(one, 'G', G3))).toContain('G 355433 bars 1,2');
  });

  test('at one place only', () => {
    const place = { section: 'Verse', bar: 2, at: rational(2) };
    const pinned = pinHere(row, place, G3);
    expect(printChart(pinned)).toContain('G[355433]');
    expect(printChart(pinned).match(/355433/g)).toHaveLength(1);
    expect(shown(pinned)).toContain('G 355433 bars 2');
  });

  test('taken off again, the chart is as before', () => {
    const place = { section: 'Verse', bar: 1, at: ZERO };
    const pinned = pinHere(pinEverywhere(row, 'G', G3), place, G3);
    expect(unpin(pinned, 'G')).toEqual(row);
  });

  test('what is pinned survives the text', () => {
    const pinned = pinEverywhere(row, 'G', G3);
    expect(unwrap(parseChart(printChart(pinned)))).toEqual(pinned);
  });
});

test('changes of a section come hardest first, unplayable pins as problems', () => {
  const hands = sectionHands(chart('| G | Bm | C |'), 'Verse')!;
  expect(hands.hardest.map((t) => t.hardness)).toEqual(
    hands.hardest.map((t) => t.hardness).toSorted((a, b) => b - a),
  );
  const bad = sectionHands(chart('| G[123456] | C |'), 'Verse')!;
  expect(bad.problems.map((p) => p.code)).toEqual(['pin-unplayable']);
  expect(sectionHands(chart('| G |'), 'Bridge')).toBeUndefined();
});

describe('clicks on the neck', () => {
  const c = unwrap(parseFrets('x32010'));
  test.each([
    [6, 3, '332010'],
    [5, 3, 'xx2010'],
    [3, 0, 'x32x10'],
    [3, 2, 'x32210'],
  ])('string %d fret %d gives %s', (string, fret, frets) =>
    expect(printFrets(placed(c, string, fret))).toBe(frets),
  );

  test('the last sounding string stays', () => {
    const one = [null, null, null, null, null, 3];
    expect(placed(one, 1, 3)).toEqual(one);
  });
});

test('with the fewest barres the easier shape is held, and nothing is pinned', () => {
  const body = chart('| F | Bm / C / |');
  const uses = sectionHands(body, 'Verse', 'fewest')!.uses;
  expect(uses.map(({ step, eased }) => `${printFrets(step.shape.frets)} ${eased}`)).toEqual([
    'xx3211 true',
    'xx4432 true',
    'x32010 false',
  ]);
  expect(isPinned(body, 'F')).toBe(false);
});
