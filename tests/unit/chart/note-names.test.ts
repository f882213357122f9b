// German names of notes: what is typed in them is international inside, and German again wherever it is shown.
// The names are those of DIN-style German use (H, B, Fis, Es, As), common practice, no source.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { asModelled, asTyped } from '../../../app/core/chart/notation/note-names.ts';
import { charts } from './arbitrary.ts';
import { parseChart, readTypedChart } from '../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { moveChart } from '../../../app/core/chart/transposition.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import {
  fromNames,
  inNames,
  keyFromNames,
  keyInNames,
} from '../../../app/core/harmony/note-names.ts';
import { shownChord } from '../../../app/core/harmony/print.ts';
import { readChord } from '../../../app/core/harmony/read.ts';
import { sayChord } from '../../../app/core/harmony/say.ts';
import { QUALITIES } from '../../../app/core/harmony/vocabulary.ts';
import { followsIn } from '../../../app/core/units/follows.ts';
import { listUnits, resolveUnit } from '../../../app/core/units/resolve.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import { changeWords } from '../../../app/core/ear/words.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';
import { checkShape } from '../../../app/core/fretboard/check.ts';
import { chordIn } from '../../../app/core/harmony/note-names.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import { readMusicXml } from '../../../app/core/exchange/musicxml/read/read.ts';
import { writeMusicXml } from '../../../app/core/exchange/musicxml/write/write.ts';

const GERMAN = `title: Am Steg
names: german
key: H minor
tempo: ♩ = 90
meter: 4/4
shape Hm = x24432

[Strophe]
| Hm | G | D/Fis | B7 |
| Es | As | h | fis7 |

form:
Strophe
`;

test.each([
  ['Hm', 'Bm'],
  ['B', 'Bb'],
  ['B7', 'Bb7'],
  ['H7', 'B7'],
  ['Fism7', 'F#m7'],
  ['Es', 'Eb'],
  ['Asmaj7', 'Abmaj7'],
  ['Esus4', 'Esus4'],
  ['Essus4', 'Ebsus4'],
  ['D/Fis', 'D/F#'],
  ['C/B', 'C/Bb'],
  ['C/H', 'C/B'],
  ['h', 'Bm'],
  ['fis7', 'F#m7'],
  ['N.C.', 'N.C.'],
  ['F♯m', 'F♯m'],
])('%s is %s', (typed, symbol) => expect(fromNames(typed, 'german')).toBe(symbol));

const ROOTS = 'C C# Db D D# Eb E F F# Gb G G# Ab A A# Bb B Cb E#'.split(' ');

test('whatever the vocabulary can say goes out in German and comes back', () => {
  const symbols = ROOTS.flatMap((root) =>
    QUALITIES.map(({ name }) => (/^[b#]/.test(name) ? `${root}(${name})` : root + name)),
  );
  const back = symbols.map((symbol) => fromNames(inNames(symbol, 'german'), 'german'));
  expect(back).toEqual(symbols);
});

test.each(['F♯m7', 'E♭', 'D/F♯'])('%s stays as it was typed', (symbol) =>
  expect(fromNames(inNames(symbol, 'german'), 'german')).toBe(symbol),
);

test.each([
  ['h-Moll', 'B minor'],
  ['H minor', 'B minor'],
  ['H-Dur', 'B major'],
  ['B', 'Bb'],
  ['fis', 'F# minor'],
  ['Es dur', 'Eb major'],
  ['G', 'G'],
  ['Hm', 'Bm'],
  ['Bm', 'Bbm'],
])('the key %s is %s', (typed, key) => {
  expect(keyFromNames(typed, 'german')).toBe(key);
  expect(keyFromNames(keyInNames(key, 'german'), 'german')).toBe(key);
});

const chart = unwrap(parseChart(GERMAN));

describe('a chart with German names', () => {
  test('is international inside', () => {
    const symbols = chart.sections[0]!.bars.flatMap(({ content }) =>
      content.kind === 'chords' ? content.chords.map(({ symbol }) => symbol) : [],
    );
    expect(symbols).toEqual(['Bm', 'G', 'D/F#', 'Bb7', 'Eb', 'Ab', 'Bm', 'F#m7']);
    expect(chart.shapes[0]!.symbol).toBe('Bm');
    expect(chart.key).toBe('B minor');
  });

  test('is printed in German and comes back the same', () => {
    const text = printChart(chart);
    expect(text).toContain('| Hm | G | D/Fis | B7 |\n| Es | As | Hm | Fism7 |');
    expect(text).toContain('shape Hm = x24432');
    expect(text).toContain('key: H minor');
    expect(unwrap(parseChart(text))).toEqual(chart);
  });

  test('shows and says its chords in German', () => {
    const unit = unwrap(resolveUnit(chart, { kind: 'section', section: 'Strophe' }));
    const chords = unit.bars.flatMap(({ chords }) => chords.map(({ chord }) => chord));
    expect(chords.map(shownChord).join(' ')).toBe('Hm G D/Fis B7 Es As Hm Fism7');
    expect(sayChord(chords[0]!)).toBe('H minor');
    expect(sayChord(chords[2]!)).toBe('D major, Fis in the bass');
    expect(listUnits(chart, 'pair').map(({ name }) => name)).toContain('D/Fis and B7');
    expect([...followsIn(chart, 'Strophe').values()].flat().join(' ')).not.toMatch(/\bB♭|F♯|\bBm/u);
  });

  test('is transposed in German', () => {
    const moved = unwrap(moveChart(chart, 2)).chart;
    expect(printChart(moved)).toContain('| Cism | A | E/Gis | C7 |');
    expect(unwrap(parseChart(printChart(moved)))).toEqual(moved);
  });

  test('a slip is told in German', () => {
    const typed = readTypedChart(GERMAN.replace('| Hm |', '| Hmm |'));
    expect(typed.problems[0]!.message).toContain('Hmm');
    expect(typed.problems[0]!.cure).toBe('Did you mean Hm?');
    const pinned = readTypedChart(GERMAN.replace('x24432', 'x24433'));
    expect(pinned.warnings[0]!.message).toBe('String 1 sounds G, which is not in Hm');
  });

  test.each([
    'Es As Des Ges B Es',
    'Eb Ab Db Gb Bb Eb',
    'E♭ A♭ D♭ G♭ B♭ E♭',
    'D# G# C# F# A# D#',
    'Dis Gis Cis Fis Ais Dis',
  ])('a guitar tuned down by a half step is %s', (strings) => {
    const typed = unwrap(parseChart(GERMAN.replace('meter:', `tuning: ${strings}\nmeter:`)));
    expect(typed.tuning.strings).toEqual(STANDARD.strings.map((midi) => midi - 1));
    expect(unwrap(parseChart(printChart(typed))).tuning).toEqual(typed.tuning);
  });

  test('a tuning of one’s own is typed and printed in German', () => {
    const tuned = GERMAN.replace('meter:', 'tuning: tief = D2 A2 D3 G3 H3 E4\nmeter:');
    const read = unwrap(parseChart(tuned));
    expect(read.tuning.strings).toEqual([38, 45, 50, 55, 59, 64]);
    expect(printChart(read)).toContain('tuning: tief = D2 A2 D3 G3 H3 E4');
    expect(unwrap(parseChart(printChart(read)))).toEqual(read);
  });

  test('prints German roots in MusicXML, with the note that they are, and takes them back', () => {
    const file = unwrap(writeMusicXml(chart));
    expect(file).toContain('<root-step text="H">B</root-step>');
    expect(file).toContain('<root-step text="Es">E</root-step>');
    expect(file).toContain('<bass-step text="Fis">F</bass-step>');
    const back = unwrap(readMusicXml(file)).chart;
    expect(back.names).toBe('german');
    expect(printChart(back)).toContain('| Hm | G | D/Fis | B7 |');
  });
});

test('any chart that holds comes back from a text with German names', () => {
  fc.assert(
    fc.property(charts, (plain) => {
      const german = asModelled({ ...asTyped({ ...plain, names: 'german' }), names: 'german' });
      expect(unwrap(parseChart(printChart(german)))).toEqual(german);
    }),
    { numRuns: 25 },
  );
});

test('the ear names what it heard in the chart’s names', () => {
  const heard: ChangeHeard = {
    ...{ bar: 0, change: 0, from: 'G', to: 'Bm', confidence: 1 },
    timing: 'on-time',
    chord: 'other',
    ...{ heard: 'Bb', extra: 59 },
  };
  expect(changeWords(heard, 'german')).toBe('sounds like a gripped B, an H too many');
  expect(changeWords(heard)).toBe('sounds like a gripped B♭, a B too many');
});

test('a shape’s faults name notes as its chart does', () => {
  const chord = chordIn('Em', 'german');
  const said =
    chord.kind === 'chord' ? checkShape([0, 3, 2, 0, 1, 0], chord, STANDARD).sentences : [];
  expect(said.join(' ')).toContain('lacks the 5 (H)');
});

test('a chart without the line stays international', () => {
  expect(readChord('Hm').ok).toBe(false);
  expect(shownChord(chordOf('Bb'))).toBe('B♭');
  const plain = GERMAN.replace('names: german\n', '').replace(/Hm|h /gu, 'Bm ');
  expect(readTypedChart(plain).problems.map(({ code }) => code)).toContain('chord-unreadable');
});
