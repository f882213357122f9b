// Typing mistakes of a new user, some hundred and thirty: each is named where it stands, and its cure, carried out, takes it away.
import { expect, test } from 'vitest';
import { readTypedChart } from '../../../app/core/chart/notation/parse.ts';
import type { TextEdit } from '../../../app/core/base/result.ts';

const GOOD = 'title: Low Tide\nkey: G\ntempo: 96\n[Verse]\n| G | D |\n';
const verse = (bars: string): string => `title: Low Tide\nkey: G\ntempo: 96\n[Verse]\n${bars}\n`;
const lead = (bars: string): string => verse(`| G | D |\nline: Hook, bar 1\npart Guitar: ${bars}`);
const head = (lines: string): string => `${lines}\n[Verse]\n| G | D |\n`;

/** The text with the edits of one cure carried out, last first. */
function mended(text: string, edits: readonly TextEdit[]): string {
  const lines = text.split('\n');
  const last = [...edits].sort((a, b) => b.line - a.line || b.column - a.column);
  for (const { line, column, length, text: put } of last) {
    const old = lines[line - 1] ?? '';
    lines[line - 1] = old.slice(0, column - 1) + put + old.slice(column - 1 + length);
  }
  return lines.join('\n');
}

test.each([
  ['a tempo with its unit', head('title: T\ntempo: 160 bpm'), 2, 'tempo-unreadable'],
  ['a tempo in words', head('title: T\ntempo: fast'), 2, 'tempo-unreadable'],
  ['a tempo nobody plays', head('title: T\ntempo: 600'), 2, 'tempo-range'],
  ['a tempo with an equals sign', head('title: T\ntempo = 96'), 2, 'line-unknown'],
  ['a tempo alone', head('title: T\n♩ = 96'), 2, 'line-unknown'],
  ['no tempo', head('title: T'), 1, 'tempo-missing'],
  ['a slip in a word', head('title: T\ntmepo: 96'), 2, 'line-unknown'],
  ['a word without its colon', head('title: T\ntempo: 96\ncapo 2'), 3, 'line-unknown'],
  ['a capo in words', head('title: T\ntempo: 96\ncapo: 2nd fret'), 3, 'capo-unreadable'],
  ['a capo off the neck', head('title: T\ntempo: 96\ncapo: 20'), 3, 'capo-range'],
  ['Dropped D', head('title: T\ntempo: 96\ntuning: Dropped D'), 3, 'tuning-unreadable'],
  ['a meter alone', head('title: T\ntempo: 96\n3/4'), 3, 'line-unknown'],
  ['a meter with a dash', head('title: T\ntempo: 96\nmeter: 4-4'), 3, 'meter-unreadable'],
  [
    'groups that do not add up',
    head('title: T\ntempo: 96\nmeter: 7/8 (2+2+2)'),
    3,
    'meter-grouping',
  ],
  ['a shuffle', head('title: T\ntempo: 96\nfeel: shuffle'), 3, 'feel-unreadable'],
  ['a shape without its sign', head('title: T\ntempo: 96\nshape F 133211'), 3, 'shape-unreadable'],
  [
    'a shape with dashes',
    head('title: T\ntempo: 96\nshape D = 10-12-12-11-10-10'),
    3,
    'shape-strings',
  ],
  ['a field written twice', head('title: T\ntempo: 96\ntempo: 100'), 3, 'line-twice'],
  ['a title further down', verse('| G |\ntitle: Again'), 6, 'line-unknown'],
  ['no title', 'tempo: 96\n[Verse]\n| G |\n', 1, 'chart-title'],
  ['a section with a colon', 'title: T\ntempo: 96\nVerse:\n| G |\n', 3, 'line-unknown'],
  ['a missing bracket', 'title: T\ntempo: 96\n[Verse\n| G |\n', 3, 'heading-open'],
  ['the other bracket missing', 'title: T\ntempo: 96\nVerse]\n| G |\n', 3, 'line-unknown'],
  ['a name and bars on one line', 'title: T\ntempo: 96\n[Verse] | G |\n', 3, 'line-unknown'],
  ['two sections of one name', `${GOOD}[Verse]\n| C |\n`, 6, 'section-twice'],
  ['chords without bar lines', verse('G D Em C'), 5, 'line-unknown'],
  ['three chords in four beats', verse('| G D Em |'), 5, 'bar-beats'],
  ['five chords in four beats', verse('| G D Em C Am |'), 5, 'bar-beats'],
  ['beats stuck to a chord', verse('| G/// |'), 5, 'beats-glued'],
  ['R R', verse('| G / R R |'), 5, 'sign-unreadable'],
  ['Nashville numbers', verse('| 1 | 4 |'), 5, 'sign-unreadable'],
  ['a German chord', verse('| Hm |'), 5, 'chord-unreadable'],
  ['a chord misspelt', verse('| Gmag7 |'), 5, 'chord-unreadable'],
  ['a split left open', verse('| G / / (C D |'), 5, 'split-open'],
  ['a strum left open', verse('| G {eighths D- D- D- D- |'), 5, 'strum-open'],
  ['a remark left open', verse('| G "softly |'), 5, 'remark-open'],
  ['a repeat left open', verse('|: G | D |'), 5, 'repeat-open'],
  ['a simile first', verse('| % | G |'), 5, 'simile-first'],
  ['a strum without its notes', verse('strum: D- DU D- DU\n| G |'), 5, 'strum-grid'],
  ['a strum too short', verse('strum: eighths D- DU D-\n| G |'), 5, 'strum-fit'],
  ['a strum grouped across beats', verse('strum: eighths DUD UDU DU\n| G |'), 5, 'strum-groups'],
  ['words with more bars', verse('| G |\nwords: | one | two |'), 6, 'words-bars'],
  ['words without bars', verse('| G | D |\nwords: down by the sea'), 6, 'words-bars'],
  ['a section misspelt in the form', `${GOOD}form: Vers\n`, 6, 'form-section'],
  ['played a hundred times', `${GOOD}form: Verse x100\n`, 6, 'form-times'],
  // Twenty-four more, of another day.
  ['commas between chords', verse('| G, D |'), 5, 'chord-signs'],
  ['a count behind the bars', verse('| G | D | x2'), 5, 'repeat-stray'],
  ['a count in parentheses', verse('| G | D | (2x)'), 5, 'sign-unreadable'],
  ['a count with room', verse('| G | D :| x 3'), 5, 'sign-unreadable'],
  ['a slower tempo without its sign', verse('| rit 80 G | D |'), 5, 'sign-unreadable'],
  ['a word of the notation misspelt', verse('| G / / D fermatta |'), 5, 'sign-unreadable'],
  ['a chord in parentheses', verse('| (G) | D |'), 5, 'bar-beats'],
  ['a line of the song', verse('| G |\nDown by the bay'), 6, 'line-unknown'],
  ['words without their colon', verse('| G |\nwords | la |'), 6, 'line-unknown'],
  ['lyrics for words', verse('| G |\nlyrics: | la |'), 6, 'line-unknown'],
  ['a key with a seventh', head('title: T\ntempo: 96\nkey: Em7'), 3, 'key-unreadable'],
  ['a tempo by a fraction', head('title: T\ntempo: 1/4 = 96'), 2, 'tempo-unreadable'],
  ['a meter nobody writes', head('title: T\ntempo: 96\nmeter: 6/7'), 3, 'meter-unreadable'],
  ['a shape of five strings', head('title: T\ntempo: 96\nshape G = 32000'), 3, 'shape-strings'],
  ['a pin of five strings', verse('| G[32000] |'), 5, 'shape-strings'],
  ['a beat that is not there', verse('| G |\nwords: | @5 la |'), 6, 'words-beat'],
  ['a count before a section', `${GOOD}form: 2x Verse\n`, 6, 'form-section'],
  ['dashes in the form', `${GOOD}form: Verse - Verse\n`, 6, 'form-section'],
  ['a section that is not there', `${GOOD}form: Verse, Yodel\n`, 6, 'form-section'],
  [
    'a lead without its comma',
    verse('| G |\nline: Hook bar 1\npart Guitar: | 1 3/7 |'),
    6,
    'line-head',
  ],
  [
    'a lead in a bar too far',
    verse('| G |\nline: Hook, bar 5\npart Guitar: | 1 3/7 |'),
    6,
    'line-bar',
  ],
  ['a name without brackets', 'title: T\ntempo: 96\nVerse\n| G |\n', 3, 'line-unknown'],
  ['eighths misspelt', verse('strum: eights D- DU -U DU\n| G |'), 5, 'strum-grid'],
  ['a rest as a dash', verse('| - | G |'), 5, 'sign-unreadable'],
  // Of a third day.
  ['a bar of a lead line too short', lead('| 4 3/7 3/5 |'), 7, 'lead-bar-length'],
  ['a bar of a lead line too long', lead('| 4 3/7 3/5 3/5 3/5 3/5 |'), 7, 'lead-bar-length'],
  ['a bar of triplets too short', lead('| 8t 3/7 3/5 |'), 7, 'lead-bar-length'],
  ['bare frets where a shape is meant', verse('| 320003 | D |'), 5, 'shape-alone'],
  ['a shape behind a space', verse('| G [320003] | D |'), 5, 'shape-alone'],
  ['a shape in parentheses', verse('| G(320003) | D |'), 5, 'chord-unreadable'],
  ['string 7', lead('| 1 7/3 |'), 7, 'lead-string'],
  ['a first and a third ending', verse('|: G |1. D :|3. G |'), 5, 'ending-times'],
  ['two first endings', verse('|: G |1. D :|1. G |'), 5, 'repeat-times'],
  ['endings without their points', verse('|: G |1 D :|2 G |'), 5, 'sign-unreadable'],
  ['a repeat played 99 times', verse('|: G | D :| x99'), 5, 'repeat-times'],
  ['a tempo left empty', head('title: T\ntempo:'), 2, 'tempo-unreadable'],
  ['a title left empty', head('title:\ntempo: 96'), 1, 'chart-title'],
  ['a key that is none', head('title: T\ntempo: 96\nkey: Z'), 3, 'key-unreadable'],
  ['a strum at the top', head('title: T\ntempo: 96\nstrum: eighths D-'), 3, 'line-under'],
  ['words at the top', head('title: T\ntempo: 96\nwords: | la |'), 3, 'line-under'],
  ['words above their bars', verse('words: | la | la |\n| G | D |'), 5, 'words-bars'],
  ['a thirteenth verse', verse('| G |\nwords 13: | la |'), 6, 'words-verse'],
  ['a verse without room', verse('| G |\nwords2: | la |'), 6, 'line-unknown'],
  ['a strum in words', verse('strum: down down up\n| G |'), 5, 'strum-grid'],
  ['a strum of quarters', verse('strum: quarters D D D D\n| G |'), 5, 'strum-grid'],
  ['a strum without its gaps', verse('strum: eighths D DU UDU\n| G |'), 5, 'strum-fit'],
  ['a strum in braces without its notes', verse('| G {D DU UDU} |'), 5, 'strum-grid'],
  ['a strum left empty', verse('strum:\n| G |'), 5, 'strum-grid'],
  ['a strum that never strikes', verse('strum: eighths -- -- -- --\n| G |'), 5, 'strum-empty'],
  ['a pickup in the middle', verse('| G | pickup 1/4 D | G |'), 5, 'pickup-place'],
  ['a pickup longer than its bar', verse('| pickup 5/4 G | D |'), 5, 'pickup-length'],
  ['a fermata before its chord', verse('| fermata G | D |'), 5, 'fermata-place'],
  ['two tempo marks', verse('| rit. = 80 accel. = 100 G |'), 5, 'pace-twice'],
  ['a tempo mark out of range', verse('| rit. = 500 G | D |'), 5, 'pace-range'],
  ['a tempo mark written out', verse('| ritardando G | D |'), 5, 'sign-unreadable'],
  ['two remarks on a bar', verse('| "softly" "now" G |'), 5, 'remark-twice'],
  ['a simile beside a chord', verse('| G | % D |'), 5, 'simile-mixed'],
  ['a split in a split', verse('| G / / (D (C D)) |'), 5, 'split-nested'],
  ['D.C. al Fine', verse('| G | D.C. al Fine |'), 5, 'jump-word'],
  ['a coda', verse('| G | Coda D |'), 5, 'jump-word'],
  ['a bass note behind a space', verse('| G | D /F# |'), 5, 'sign-unreadable'],
  ['a minor chord in words', verse('| A minor | D |'), 5, 'sign-unreadable'],
  ['two chords with a dash', verse('| G-D | C |'), 5, 'chord-unreadable'],
  ['a bracket left open in a chord', verse('| Gm(maj7 |'), 5, 'chord-signs'],
  ['like a section that is not there', verse('like: Chorus'), 5, 'like-section'],
  ['a change of no bar', `${GOOD}[B]\nlike: Verse\nbar 9: | D |\n`, 8, 'change-bars'],
  ['a change of nothing', verse('| G |\nbar 1: | D |'), 6, 'change-alone'],
  ['another ending without its word', `${GOOD}form: Verse | G |\n`, 6, 'ending-word'],
  [
    'an ending longer than its section',
    `${GOOD}form: Verse ending | G | D | C |\n`,
    6,
    'ending-bars',
  ],
  ['a repeat in an ending', `${GOOD}form: Verse ending |: G :|\n`, 6, 'ending-repeats'],
  ['two forms', `${GOOD}form: Verse\nform: Verse\n`, 7, 'form-twice'],
  ['an empty form', `${GOOD}form:\n`, 6, 'form-entries'],
  ['sections in a row', `${GOOD}[Chorus]\n| C |\nform: Verse Chorus Verse\n`, 8, 'form-section'],
  ['sections by their letters', `${GOOD}[Chorus]\n| C |\nform: V C V C\n`, 8, 'form-section'],
  ['brackets in the form', `${GOOD}form: [Verse] [Verse]\n`, 6, 'form-section'],
  ['a part without its line', verse('| G |\npart Guitar: | 1 3/7 |'), 6, 'part-alone'],
  ['a line without its part', verse('| G |\nline: Hook, bar 1'), 6, 'line-head'],
  ['a fret off the neck', lead('| 1 3/30 |'), 7, 'lead-fret'],
  ['a fret without its string', lead('| 4 3/5 5 3/7 3/5 |'), 7, 'lead-token'],
  ['a string and fret with a dash', lead('| 1 3-7 |'), 7, 'lead-token'],
  ['a bend by nothing', lead('| 1 3/7b |'), 7, 'lead-token'],
  ['a pull-off that goes up', lead('| 2 3/5 p7 |'), 7, 'lead-reach'],
  ['a part a fifth up', lead('| 1 3/7 |\npart B: Guitar, fifth up'), 8, 'part-text'],
  ['a part that follows nobody', lead('| 1 3/7 |\npart B: Bass, octave up'), 8, 'lead-source'],
  ['a line past its section', lead('| 1 3/7 | 3/7 | 3/7 |'), 7, 'lead-past-section'],
  ['a shape with a colon', head('title: T\ntempo: 96\nshape G: 320003'), 3, 'line-unknown'],
  ['a shape with the letter O', head('title: T\ntempo: 96\nshape G = 32OOO3'), 3, 'shape-fret'],
  [
    'a chord with two shapes',
    head('title: T\ntempo: 96\nshape G = 320003\nshape G = 355433'),
    4,
    'shape-twice',
  ],
  ['a name with a comma', 'title: T\ntempo: 96\n[Verse, soft]\n| G |\n', 3, 'section-name'],
  ['a name left empty', 'title: T\ntempo: 96\n[]\n| G |\n', 3, 'section-name'],
  ['a name in parentheses', 'title: T\ntempo: 96\n(Verse)\n| G |\n', 3, 'line-unknown'],
  ['a band that is on', head('title: T\ntempo: 96\nband: on'), 3, 'band-word'],
  ['tab as it is drawn', verse('| G |\ne|---0---2---|'), 6, 'line-unknown'],
  [
    'five notes of a tuning',
    head('title: T\ntempo: 96\ntuning: E A D G B'),
    3,
    'tuning-unreadable',
  ],
])('%s', (_, text, line, code) => {
  const problem = readTypedChart(text).problems.find((p) => p.code === code);
  expect(problem?.span?.line).toBe(line);
  expect(problem!.remedy, problem!.cure).toBeDefined();
  const after = readTypedChart(mended(text, problem!.remedy!.edits)).problems;
  const left = after.filter(
    (p) =>
      p.code === code && p.message === problem!.message && p.span?.column === problem!.span!.column,
  );
  expect(left, mended(text, problem!.remedy!.edits)).toEqual([]);
});

test.each([
  ['a count', '| G | D | x2', '|: G | D :|'],
  ['three times', '| G | D | (3x)', '|: G | D :| x3'],
  ['a slower tempo', '| rit 80 G | D |', '| rit = 80 G | D |'],
  ['the shape’s chord', '| x02210 | D |', '| Am[x02210] | D |'],
  ['both endings', '|: G |1. D :|3. G |', '|: G |1. D :|2. G |'],
  ['points of endings', '|: G |1 D :|2 G |', '|: G |1. D :|2. G |'],
  ['nothing for a jump', '| G | D.C. al Fine |', '| G |'],
  ['a slash chord', '| G | D /F# |', '| G | D/F# |'],
  ['a minor chord', '| A minor | D |', '| Am | D |'],
  ['the way of the hand', 'strum: eighths D DU UDU\n| G |', 'strum: eighths D- DU -U DU\n| G |'],
])('what the cure types: %s', (_, typed, wanted) => {
  const text = verse(typed);
  const { remedy } = readTypedChart(text).problems[0]!;
  expect(mended(text, remedy!.edits)).toBe(verse(wanted));
});

test('a name without its bracket is the only mistake: what stands below it is read', () => {
  const text = 'title: T\ntempo: 96\nVerse]\nstrum: eighths D- DU -U DU\n| G |\nwords: | la |\n';
  expect(readTypedChart(text).problems.map(({ span }) => span?.line)).toEqual([3]);
});

const HOOK = '| G | D |\nline: Hook, bar 1\npart Guitar: ';

test.each([
  ['a bar too short is rested', '| 4 3/7 3/5 |', '| 4 3/7 3/5 2 r |'],
  [
    'and the next keeps its values',
    '| 4 3/7 3/5 | 3/7 3/5 2 r |',
    '| 4 3/7 3/5 2 r | 4 3/7 3/5 2 r |',
  ],
  ['a bar too long is cut', '| 4 3/7 3/5 3/5 3/5 3/5 |', '| 4 3/7 3/5 3/5 3/5 |'],
  ['string and fret change places', '| 1 7/3 |', '| 1 3/7 |'],
  ['the same pitch higher up', '| 1 3/26 |', '| 1 2/22 |'],
  ['a pull-off up is a hammer-on', '| 2 3/5 p7 |', '| 2 3/5 h7 |'],
  ['a fret stays on its string', '| 2 4/5 7 |', '| 2 4/5 4/7 |'],
])('in a lead line: %s', (_, typed, wanted) => {
  const text = verse(HOOK + typed);
  const { remedy, span } = readTypedChart(text).problems[0]!;
  expect(mended(text, remedy!.edits)).toBe(verse(HOOK + wanted));
  expect(span!.column).toBeGreaterThan('part Guitar: |'.length);
});
