// The table of taught shapes: each row is the chord it says, a hand holds it, and the named sources print it first.
import { describe, expect, test } from 'vitest';
import { checkShape } from '../../app/core/fretboard/check.ts';
import { parseFrets, printFrets } from '../../app/core/fretboard/frets.ts';
import { shapesFor } from '../../app/core/fretboard/search.ts';
import { fingersOf } from '../../app/core/fretboard/shape.ts';
import {
  DROPPED_D,
  EASIER,
  FAMILIES,
  TAUGHT,
  type TaughtRow,
} from '../../app/core/fretboard/taught-table.ts';
import { OPEN_TUNINGS } from '../../app/core/fretboard/taught-open.ts';
import { taughtShapes } from '../../app/core/fretboard/taught.ts';
import { STANDARD, readTuning } from '../../app/core/harmony/tunings.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { chordNamed } from '../support/chords.ts';
import { POSITIONS } from './chords-db.ts';
import { needsTable, readTable } from './lilypond.ts';

const DROP_D = unwrap(readTuning('drop D'));
const frets = (text: string) => unwrap(parseFrets(text));

/** Each finger lies on one fret, and no string under a barre is open or stopped lower. */
function faults(fretsText: string, fingers: string): string[] {
  const found: string[] = [];
  const held = frets(fretsText);
  held.forEach((fret, i) => {
    const finger = fingers[i]!;
    if ((fret ?? 0) > 0 !== (finger !== '.')) found.push(`string ${6 - i}: ${fret} ${finger}`);
  });
  for (const finger of '1234T') {
    const on = [...fingers].flatMap((f, i) => (f === finger ? [i] : []));
    const fret = held[on[0]!];
    if (on.some((i) => held[i] !== fret)) found.push(`finger ${finger} on two frets`);
    for (let i = on[0] ?? 0; i <= (on.at(-1) ?? -1); i++) {
      const under = held[i];
      if (typeof under === 'number' && under < fret!) found.push(`finger ${finger} over string ${6 - i}`); // prettier-ignore
    }
  }
  return found;
}

/** An easier shape may have another tone of the chord lowest. */
const rowTest =
  (tuning: typeof STANDARD, rootLowest = true) =>
  (row: TaughtRow) => {
    const [symbol, text, fingers, others] = row;
    const check = checkShape(frets(text), chordNamed(symbol), tuning);
    expect([check.missing, check.extra]).toEqual([[], []]);
    if (rootLowest) expect(check.verdict).toBe('right');
    for (const way of [fingers, ...others]) {
      expect(way).toHaveLength(6);
      expect(faults(text, way)).toEqual([]);
    }
  };

describe('every row is its chord, with fingers that can lie so', () => {
  test.each(TAUGHT)('%s %s', (...row) => rowTest(STANDARD)(row));
  test.each(EASIER)('easier: %s %s', (...row) => rowTest(STANDARD, false)(row));
  test.each(DROPPED_D.rows)('drop D: %s %s', (...row) => rowTest(DROP_D)(row));
  for (const { tuning, rows } of OPEN_TUNINGS) {
    const tuned = unwrap(readTuning(tuning));
    test.each(rows)(`${tuning}: %s %s`, (...row) => rowTest(tuned)(row));
  }
});

describe('every family is its chord wherever it is held', () => {
  const ROOTS = ['C', 'C#', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
  const qualities = [...new Set(FAMILIES.map(({ quality }) => quality))];
  test.each(qualities)('“%s”', (quality) => {
    let held = 0;
    for (const root of ROOTS) {
      const chord = chordNamed(root + quality);
      const shapes = taughtShapes(chord, STANDARD);
      held += shapes.length;
      for (const shape of shapes) {
        expect([printFrets(shape.frets), checkShape(shape.frets, chord, STANDARD).verdict]).toEqual(
          [printFrets(shape.frets), 'right'],
        );
      }
    }
    expect(held).toBeGreaterThan(6);
  });
  for (const { tuning, families } of OPEN_TUNINGS) {
    test.each(families)(
      `${tuning}: “$quality” from string $root.string`,
      ({ quality, ...held }) => {
        const tuned = unwrap(readTuning(tuning));
        for (const root of ROOTS) {
          const chord = chordNamed(root + quality);
          for (const shape of taughtShapes(chord, tuned)) {
            expect([root, checkShape(shape.frets, chord, tuned).verdict]).toEqual([root, 'right']);
          }
        }
        expect(faults(held.frets, held.fingers)).toEqual([]);
      },
    );
  }
  test('their fingers can lie so', () => {
    for (const { frets: text, fingers, others } of FAMILIES) {
      for (const way of [fingers, ...(others ?? [])]) expect([text, faults(text, way)]).toEqual([text, []]); // prettier-ignore
    }
  });
});

test('the shapes of the table lead the list', () => {
  const first = new Map(TAUGHT.toReversed().map(([symbol, text]) => [symbol, text]));
  for (const [symbol, text] of first) {
    expect([symbol, printFrets(shapesFor(chordNamed(symbol), STANDARD)[0]!.frets)]).toEqual([
      symbol,
      text,
    ]);
  }
});

/** What a published table prints first for a chord, by what it sounds. */
const keyOf = (symbol: string): string => {
  const { rootPc, quality, bassPc } = chordNamed(symbol);
  return `${rootPc} ${quality} ${bassPc}`;
};
const firstInDb = new Map(
  POSITIONS.filter(({ index }) => index === 0)
    .toReversed()
    .map((p) => [keyOf(p.symbol), printFrets(p.frets)]),
);
const LILYPOND_WORDS: ReadonlyMap<string, string> = new Map([
  ['', ''],
  ['m', 'm'],
  ['7', '7'],
  ['m7', 'm7'],
  ['dim', 'dim'],
  ['dim7', 'dim7'],
  ['aug', 'aug'],
  ['9', '9'],
]);
const lilypond = readTable();
const firstInLilypond = new Map(
  lilypond.flatMap(({ symbol, frets: f }) => {
    const [, root, word] = /^([A-G][#b]?)(.*)$/.exec(symbol)!;
    const quality = LILYPOND_WORDS.get(word!);
    return quality === undefined ? [] : [[keyOf(root! + quality), printFrets(f)] as const];
  }),
);

test('the sources are named where they print it first, and nowhere else', needsTable, () => {
  const wrong = TAUGHT.flatMap(([symbol, text, , , source]) => {
    const db = firstInDb.get(keyOf(symbol)) === text ? 'db' : '';
    const ly = firstInLilypond.get(keyOf(symbol)) === text ? 'ly' : '';
    const true_ = [db, ly].filter(Boolean).join(' ');
    return true_ === source ? [] : [`${symbol} ${text}: ‘${source}’, is ‘${true_}’`];
  });
  expect(wrong).toEqual([]);
});

test('every difference from the two tables is listed', needsTable, () => {
  const lines = [...new Set([...firstInDb.keys(), ...firstInLilypond.keys()])].flatMap((key) => {
    const named = POSITIONS.find((p) => p.index === 0 && keyOf(p.symbol) === key)?.symbol;
    if (!named) return [];
    const ours = taughtShapes(chordNamed(named), STANDARD)[0];
    if (!ours) return [];
    const own = printFrets(ours.frets);
    const [db, ly] = [firstInDb.get(key), firstInLilypond.get(key)];
    const differs = [db && db !== own && `chords-db ${db}`, ly && ly !== own && `lilypond ${ly}`];
    const said = differs.filter(Boolean);
    return said.length > 0 ? [`${named} ${own}: ${said.join(', ')}`] : [];
  });
  expect(lines.sort()).toMatchSnapshot();
});

test('fingers are as taught', () => {
  const shown = (symbol: string) =>
    fingersOf(shapesFor(chordNamed(symbol), STANDARD)[0]!)
      .map((finger) => finger ?? '.')
      .join('');
  expect(['D', 'Cmaj7', 'Asus4', 'C', 'G', 'Am', 'E', 'F'].map(shown)).toEqual([
    '...132',
    '.32...',
    '..124.',
    '.32.1.',
    '21...3',
    '..231.',
    '.231..',
    '134211',
  ]);
});
