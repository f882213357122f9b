// Sheets written after the causes found in `fresh.ts` were mended, and read once. All words are our own.
import { type HeldOut, above, built, german, markedLine, over } from './held-out.ts';

const G = '[G]Paint on the [Em]ladder, [C]dust on the [D]floor';
const H = '[G]somebody [B7]moved all the [Em]pictures be[C]fore';
const ROW = '[G][Em][C][D]';
const R = '[C]Ring the bell [G]twice and [D]wait for the [G]door';

export const LAST: readonly HeldOut[] = [
  built(
    'a singer behind a colon in the heading',
    { line: over, top: 'Ladder' },
    ['[Verse 1: Ada]', 'Verse 1', G, H],
    ['[Chorus: all]', 'Chorus', R],
  ),
  built(
    'a count behind the bracket',
    { line: over, top: 'Ladder' },
    ['[Chorus] x2', 'Chorus', R],
    ['[Verse 1]', 'Verse 1', G],
  ),
  built(
    'a dash and chords behind the heading',
    { line: (l) => (l === ROW ? '' : over(l)), top: 'Ladder' },
    ['Intro - G Em C D', 'Intro', ROW],
    ['Verse 1', 'Verse 1', G],
  ),
  built(
    'a heading in parentheses before chords',
    { line: (l) => (l === ROW ? '' : over(l)), top: 'Ladder' },
    ['(Intro) G Em C D', 'Intro', ROW],
    ['(Verse)', 'Verse', G],
  ),
  built(
    'Roman numbers',
    { line: over, top: 'Ladder' },
    ['Verse I', 'Verse i', G],
    ['Verse II', 'Verse ii', H],
    ['Chorus', 'Chorus', R],
  ),
  built(
    'two names in one heading',
    { line: over, top: 'Ladder' },
    ['Bridge / Solo', 'Bridge / Solo', G],
    ['Chorus', 'Chorus', R],
  ),
  built(
    'a tuning and a strum in words',
    {
      line: over,
      top: 'Ladder\nTuning: standard\nStrumming: down down up up down up\nCapo: 2',
    },
    ['Verse', 'Verse', G],
    ['Chorus', 'Chorus', R],
  ),
  built(
    'a double bar around a row',
    { line: (l) => (l.startsWith('[G][') ? '||: G  Em | C  D :||' : over(l)), top: 'Ladder' },
    ['Intro', 'Intro', '[G][Em][C][D]'],
    ['Verse', 'Verse', G],
  ),
  built(
    'chords with a wave',
    { line: (l) => above(markedLine(l), (c) => (c === 'D' ? 'D~' : c)), top: 'Ladder' },
    ['Verse', 'Verse', G],
    ['Chorus', 'Chorus', R],
  ),
  built(
    'one chord on a line',
    { line: over, top: 'Ladder' },
    ['Verse', 'Verse', '[G]Paint on the ladder', '[Em]dust on the floor', '[A]A ring at the door'],
    ['Chorus', 'Chorus', R],
  ),
  built(
    'a line that only repeats a word',
    { line: over, top: 'Ladder' },
    ['Verse', 'Verse', '[Am]Da da da [E]da, da da [Am]da', '[E]Hey, hey, [Am]hey'],
    ['Chorus', 'Chorus', R],
  ),
  built(
    'flats and sharps as signs',
    { line: over, top: 'Ladder' },
    ['Verse', 'Verse', '[B♭]Paint on the [F♯m7♭5]ladder, [E♭]dust on the [D♭/F]floor'],
    ['Chorus', 'Chorus', '[A♭maj7]Ring the bell [G7♯5]twice'],
  ),
  built(
    'a section repeated by name alone',
    { line: over, top: 'Ladder' },
    ['Verse 1', 'Verse 1', G],
    ['Chorus', 'Chorus', R],
    ['Verse 2', 'Verse 2', H],
    ['Chorus', 'Chorus'],
  ),
  built(
    'brackets with chords that share a place',
    { line: (l) => l.replace('[Em]', '[Em] '), top: 'Ladder' },
    ['Verse', 'Verse', '[G]Paint on the [Em]ladder', H],
    ['Chorus', 'Chorus', R],
  ),
  built(
    'German with a capo and a key',
    {
      line: (l) => above(markedLine(l), german),
      top: 'Leiter\nvon Niemand\nTonart: H-Moll\nKapo 2. Bund',
    },
    ['Strophe 1:', 'Strophe 1', '[Bm]Farbe auf der [F#m]Leiter, [G]Staub auf dem [A]Boden'],
    ['Refrain:', 'Refrain', '[B7]Läute zwei[Em]mal und [Bb]warte'],
    ['Zwischenspiel:', 'Zwischenspiel', '[Bm][F#m][G]'],
  ),
  built(
    'bars over two lines of words',
    { line: (l) => l, top: 'Ladder' },
    ['Verse', 'Verse', '[G]Paint on the ladder and [C]dust', 'on the [D]floor of the [G]hall'],
    ['Outro', 'Outro', '[G]home, [C]home, [G]home'],
  ),
  built(
    'a note to the player between sections',
    { line: over, top: 'Ladder', between: '\n' },
    ['Verse', 'Verse', G],
    ['(play softly)\n\nChorus', 'Chorus', R],
  ),
  built(
    'a rule of stars between sections',
    { line: over, top: 'Ladder\n*****' },
    ['Verse', 'Verse', G],
    ['*****\nChorus', 'Chorus', R],
  ),
  built(
    'slash chords and added notes',
    { line: over, top: 'Ladder' },
    ['Verse', 'Verse', '[G]Paint on the [G/F#]ladder, [Em7]dust on the [Cadd9]floor'],
    ['Chorus', 'Chorus', '[Dsus4]Ring the [D]bell [A7sus4]twice'],
  ),
  built(
    'counts at the ends of lines of words',
    { line: (l) => over(l).replace(/floor$/u, 'floor   (x2)'), top: 'Ladder' },
    ['Verse', 'Verse', G],
    ['Chorus', 'Chorus', R],
  ),
];
