// In other tunings the shapes are the ones taught there; strings tuned alike keep the names of standard tuning.
import { describe, expect, test } from 'vitest';
import { liftOf, sounding } from '../../../app/core/fretboard/capo.ts';
import { printFrets } from '../../../app/core/fretboard/frets.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { bestPath } from '../../../app/core/fretboard/path.ts';
import { easierShape } from '../../../app/core/fretboard/taught.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';
import { readTuning } from '../../../app/core/harmony/tunings.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { chordNamed } from '../../support/chords.ts';

const tuned = (name: string) => unwrap(readTuning(name));
const held = (tuning: string, symbols: string, capo = 0) =>
  bestPath(
    symbols.split(' ').map((symbol, i) => ({ chord: chordOf(symbol), bar: i, at: i, gap: 1 })),
    tuned(tuning),
    { neck: { ...USUAL_NECK, capo } },
  ).steps.flatMap((step) => (step.kind === 'shape' ? [step.shape] : []));
const frets = (...asked: Parameters<typeof held>) =>
  held(...asked)
    .map((shape) => printFrets(shape.frets))
    .join(' ');

describe('strings tuned alike', () => {
  test.each(['half step down', 'whole step down', 'D# G# C# F# A# D#', 'F A# D# G# C F'])(
    '%s: the shapes of standard tuning',
    (tuning) => expect(frets(tuning, 'G D Em C')).toBe(frets('standard', 'G D Em C')),
  );
  test('sound so much lower; a capo raises them again', () => {
    const [e2, down] = [held('standard', 'E')[0]!, held('half step down', 'E')[0]!];
    expect(down.pitches).toEqual(e2.pitches.map((midi) => midi! - 1));
    expect(held('half step down', 'E', 1)[0]!.pitches).toEqual(e2.pitches);
  });
  test('the chord that is heard for E is E flat', () => {
    const lift = liftOf({ capo: 0, tuning: tuned('half step down') });
    const { rootPc, bassPc, pitchClasses } = chordNamed('Eb');
    expect(sounding(chordNamed('E'), lift)).toMatchObject({ rootPc, bassPc, pitchClasses });
  });
});

describe('what is taught leads, common practice', () => {
  test.each([
    ['open G', 'G C D Em', 'x00000 x55555 x77777 202002'],
    ['open D', 'D G A Bm', '000000 555555 777777 x20020'],
    ['DADGAD', 'D G/B Asus4 Em7', '004200 x20020 x02200 220020'],
    // Open A is open G a tone higher, drop C drop D a tone lower: the same shapes under other names.
    ['E A E A C# E', 'A D E F#m', 'x00000 x55555 x77777 202002'],
    ['C G C F A D', 'C F G C5', '000232 5x0003 x02220 000xxx'],
  ])('%s: %s', (tuning, symbols, expected) => expect(frets(tuning, symbols)).toBe(expected));
});

test('an easier shape in drop D leaves string 6 alone', () => {
  expect(easierShape(chordNamed('F#m7'), tuned('standard'))!.frets[0]).toBe(2);
  expect(easierShape(chordNamed('F#m7'), tuned('drop D'))).toBeUndefined();
  expect(printFrets(easierShape(chordNamed('F'), tuned('drop D'))!.frets)).toBe('xx3211');
});
