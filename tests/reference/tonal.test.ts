// Chord reading against the library `tonal` 6.4.3 (npm): every quality it knows, by every one of its
// spellings, on all twelve roots; transposition and numerals against its own functions.
import { Chord, ChordType, Interval, Note, Progression } from 'tonal';
import { expect, test } from 'vitest';
import type { SoundingChord } from '../../app/core/model/chord.ts';
import { keyOf } from '../../app/core/harmony/key.ts';
import { nameNotes } from '../../app/core/harmony/naming.ts';
import { romanNumeral } from '../../app/core/harmony/numeral.ts';
import { readQuality } from '../../app/core/harmony/quality.ts';
import { QUALITIES } from '../../app/core/harmony/vocabulary.ts';
import { readChord } from '../../app/core/harmony/read.ts';
import { transposeSymbol } from '../../app/core/harmony/transpose.ts';
import { unwrap } from '../../app/core/base/result.ts';

const ROOTS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const read = (symbol: string) => unwrap(readChord(symbol)) as SoundingChord;

/**
 * "Cb9sus" and "C#5" after a root letter are a flat or sharp root, in tonal too; such spellings can
 * only stand alone. They have other spellings, which are checked.
 */
const standsAfterRoot = (alias: string) => !/^[b#]/.test(alias);
const TYPES = ChordType.all();

/**
 * Where we differ from tonal, each with its reason: what the symbol says letter by letter, or what most charts mean
 * by it (common practice, no source).
 */
const DIFFERENT: ReadonlyMap<string, string> = new Map([
  ...['7b5b9', '7b9b5', '7b5#9', '7#9b5', '7b5b13', '9b5b13', '7b5b9b13'].map(
    (alias) =>
      [alias, 'a flat fifth takes the place of the fifth; tonal keeps it beside ♯11'] as const,
  ),
  ...['6b5', 'M6b5'].map((alias) => [alias, 'a flat fifth, not ♯11 beside the fifth'] as const),
  ...['m7#5', 'm9#5', 'm11A'].map((alias) => [alias, 'a raised fifth, not a flat sixth'] as const),
  ...['M7b6', '^7b6', 'mb6M7', 'mb6b9'].map(
    (alias) => [alias, 'a flat sixth above the fifth'] as const,
  ),
  ['13b5', 'a thirteenth, not a sixth'],
  ['M7add13', 'no ninth is written'],
  ['m9b5', 'a ninth, not a second'],
  ['sus4add9', 'a ninth, not a second'],
  ['madd4', 'the same as madd11'],
  ['^', 'a triangle or caret alone is the major seventh'],
  ['^#5', 'a triangle or caret alone is the major seventh'],
  ['4', 'charts write C4 for Csus4'],
  ['quartal', 'not written on charts'],
  ['alt7', 'the same as 7alt'],
]);

const SPELLINGS = TYPES.flatMap((type) =>
  type.aliases
    .filter((alias) => standsAfterRoot(alias) && !DIFFERENT.has(alias))
    .map((alias) => ({ alias, type })),
);

/** Qualities with a spelling that both read alike. */
const MEANT_ALIKE = TYPES.filter((type) => SPELLINGS.some((spelling) => spelling.type === type));

test('we differ from it in 24 spellings of its 200 and more, and nowhere else', () => {
  const all = TYPES.flatMap((type) =>
    type.aliases.filter(standsAfterRoot).map((alias) => ({ alias, type })),
  );
  const differing = all.filter(({ alias, type }) => {
    const ours = readQuality(alias)?.intervals;
    return ours?.toSorted().join() !== type.intervals.toSorted().join();
  });
  expect(differing.map(({ alias }) => alias).sort()).toEqual([...DIFFERENT.keys()].sort());
  expect(all.length).toBeGreaterThan(200);
});

test('tonal knows 106 qualities or more, and each has a spelling that can follow a root', () => {
  expect(TYPES.length).toBeGreaterThanOrEqual(106);
  for (const type of TYPES) expect(type.aliases.some(standsAfterRoot), type.aliases[0]).toBe(true);
});

test.each(ROOTS)('every spelling of every quality on %s has tonal’s tones', (root) => {
  for (const { alias, type } of SPELLINGS) {
    const ours = read(root + alias);
    const theirs = Chord.getChord(alias, root);
    expect(theirs.empty, alias).toBe(false);
    expect(ours.tones.map((tone) => tone.interval).sort(), alias).toEqual(
      type.intervals.toSorted(),
    );
    expect(ours.tones.map((tone) => tone.note).sort(), alias).toEqual(theirs.notes.toSorted());
    const chromas = new Set(theirs.notes.map((note) => Note.chroma(note)));
    expect(ours.pitchClasses, alias).toEqual([...chromas].sort((a, b) => a - b));
  }
});

test('our name for each of its qualities can be read again and means the same', () => {
  for (const quality of QUALITIES) {
    expect(readQuality(quality.name)?.intervals.toSorted(), quality.name).toEqual(
      quality.intervals.toSorted(),
    );
  }
});

test('each of its chords, all tones sounding with the root lowest, is named among the answers', () => {
  for (const root of ROOTS) {
    for (const type of MEANT_ALIKE) {
      const low = 40 + ((Note.chroma(root) - 4 + 12) % 12);
      const notes = type.intervals.map((interval) => low + Interval.semitones(interval));
      const found = unwrap(nameNotes(notes)).map(
        (name) => `${name.rootPc} ${intervalKey(name.quality)}`,
      );
      const wanted = new Set(type.intervals.map((i) => Interval.semitones(i) % 12));
      expect(found, root + type.aliases[0]).toContain(
        `${Note.chroma(root)} ${[...wanted].sort((a, b) => a - b).join()}`,
      );
    }
  }
});

/** Pitch classes above the root: two spellings of one sound count as one answer. */
function intervalKey(quality: string): string {
  const classes = new Set(readQuality(quality)!.intervals.map((i) => Interval.semitones(i) % 12));
  return [...classes].sort((a, b) => a - b).join();
}

test('transposed chords have the pitch classes of tonal’s transposition', () => {
  const symbols = ['C', 'Am7', 'F#m7b5', 'Bb7#9', 'Ebmaj7', 'G/B', 'D6/9'];
  for (const symbol of symbols) {
    for (let up = 0; up < 12; up++) {
      const moved = read(unwrap(transposeSymbol(symbol, up)));
      const original = read(symbol);
      const expected = original.tones.map((tone) =>
        Note.chroma(Note.transpose(tone.note, Interval.fromSemitones(up))),
      );
      expect(
        moved.tones.map((tone) => tone.pitchClass),
        `${symbol} +${up}`,
      ).toEqual(expected);
    }
  }
});

test('numerals in every major key begin as tonal writes them, but for our small letters', () => {
  for (const tonic of ROOTS) {
    for (const root of ROOTS) {
      const [theirs] = Progression.toRomanNumerals(tonic, [root]);
      const ours = romanNumeral(read(root), keyOf(tonic, 'major'));
      expect(ours.replace(/♭/g, 'b').replace(/♯/g, '#'), `${root} in ${tonic}`).toBe(theirs);
    }
  }
});
