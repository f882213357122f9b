// Names for what sounds, best first.
import { describe, expect, test } from 'vitest';
import { parseFrets } from '../../../app/core/fretboard/frets.ts';
import { soundingPitches } from '../../../app/core/fretboard/shape.ts';
import { pitchesOf } from '../../../app/core/fretboard/capo.ts';
import { STANDARD } from '../../../app/core/harmony/tunings.ts';
import { readKey } from '../../../app/core/harmony/key.ts';
import { nameNotes } from '../../../app/core/harmony/naming.ts';
import { readChord } from '../../../app/core/harmony/read.ts';
import { unwrap } from '../../../app/core/base/result.ts';

const notes = (text: string) =>
  soundingPitches(pitchesOf(unwrap(parseFrets(text)), STANDARD.strings));
const names = (text: string) => unwrap(nameNotes(notes(text))).map((name) => name.symbol);

describe('first and other names', () => {
  test.each([
    ['x32010', 'C'],
    ['x02210', 'Am'],
    ['x02010', 'Am7'],
    ['320003', 'G'],
    ['x32000', 'Cmaj7'],
    ['332010', 'C/G'],
    ['3x3433', 'G7'],
    ['x20x01', 'Bdim'],
    ['x46564', 'Dbmaj7'],
    ['022000', 'Em'],
  ])('%s is %s', (frets, name) => expect(names(frets)[0]).toBe(name));

  test('a minor seventh chord is also the sixth chord a minor third up', () =>
    expect(names('x02010')).toContain('C6/A'));

  test('a diminished seventh has four names, the one on its bass first', () =>
    expect(names('xx0101').slice(0, 4)).toEqual(['Ddim7', 'Fdim7/D', 'Bdim7/D', 'G#dim7/D']));

  test('what is left out is told', () => {
    const [c7] = unwrap(nameNotes(notes('x3231x')));
    expect(c7).toMatchObject({ symbol: 'C7', missing: ['5'] });
  });

  test('a chord may be without its root where third and seventh tell it: E B♭ D G in C9', () => {
    const rootless = unwrap(nameNotes([52, 58, 62, 67])).find((name) => name.symbol === 'C9');
    expect(rootless?.missing).toEqual(['1']);
  });
});

test('every name can be read again and has the sounding notes', () => {
  for (const frets of ['x32010', '3x3433', 'x24442', 'x02210', 'xx3211', '320001']) {
    const heard = new Set(notes(frets).map((midi) => midi % 12));
    for (const name of unwrap(nameNotes(notes(frets)))) {
      const read = unwrap(readChord(name.symbol));
      if (read.kind === 'silence') throw new Error(name.symbol);
      const rootless = name.missing.includes('1');
      const tall = /11|13/.test(name.quality); // guitarists' whole stacks, wider than the library's
      const foreign = [...heard].filter((pc) => !read.pitchClasses.includes(pc));
      if (!tall) expect(foreign, `${frets} ${name.symbol}`).toEqual([]);
      if (!rootless) expect(heard.has(read.bassPc)).toBe(true);
    }
  }
});

test('the key decides the spelling', () => {
  const [flat] = unwrap(nameNotes([49, 53, 56], unwrap(readKey('Ab'))));
  const [sharp] = unwrap(nameNotes([49, 53, 56], unwrap(readKey('B'))));
  expect([flat!.symbol, sharp!.symbol]).toEqual(['Db', 'C#']);
});

test('one note, and notes without a common name, are told', () => {
  expect(nameNotes([40, 52])).toMatchObject({ ok: false, problems: [{ code: 'too-few-notes' }] });
  expect(nameNotes([40, 41, 42, 43])).toMatchObject({ ok: false, problems: [{ code: 'no-name' }] });
});
