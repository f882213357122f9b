// Typing mistakes of a new user, some two hundred: each is named where it stands, and its cure is what was most likely meant.
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
  ['a lilt', head('title: T\ntempo: 96\nfeel: a triplet lilt'), 3, 'feel-unreadable'],
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
    'lead-head',
  ],
  [
    'a lead in a bar too far',
    verse('| G |\nline: Hook, bar 5\npart Guitar: | 1 3/7 |'),
    6,
    'lead-bar',
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
  ['like a section below', `${verse('like: Chorus')}[Chorus]\n| C |\n`, 5, 'like-section'],
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
  ['a line without its part', verse('| G |\nline: Hook, bar 1'), 6, 'lead-head'],
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
  ['the same at one go', 'strum: D DU UDU\n| G |', 'strum: eighths D- DU -U DU\n| G |'],
  [
    'words of strokes',
    'strum: down down up up down up\n| G |',
    'strum: eighths D- DU -U DU\n| G |',
  ],
  ['a word with “swing:”', 'swing: 3:2 please\n| G |', 'swing: swing 8 3:2\n| G |'],
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

/** All that the program proposes, one after the other, as a patient user presses it. */
function allCured(text: string): string {
  let now = text;
  for (let press = 0; press < 9; press++) {
    const cured = readTypedChart(now).problems.find(({ remedy }) => remedy);
    if (!cured) break;
    now = mended(now, cured.remedy!.edits);
  }
  expect(readTypedChart(now).problems).toEqual([]);
  return now;
}

const top = (line: string): string => head(`title: T\ntempo: 96\n${line}`);

test.each([
  ['600 has a nought too many', 'tempo: 600', 'tempo: 60'],
  ['1200', 'tempo: 1200', 'tempo: 120'],
  ['a word for it', 'tempo: slow', 'tempo: 70'],
  ['a dash for a colon', 'Tempo - 120', 'tempo: 120'],
  ['a unit behind it', 'Tempo 120 bpm', 'tempo: 120'],
])('a tempo: %s', (_, typed, wanted) => {
  expect(allCured(head(`title: T\n${typed}`))).toBe(head(`title: T\n${wanted}`));
});

test.each([
  ['five notes', 'tuning: E A D G B', 'tuning: E A D G B E'],
  ['five of drop D', 'tuning: D A D G B', 'tuning: D A D G B E'],
  ['a doubled note', 'tuning: E A D D G B E', 'tuning: E A D G B E'],
  ['seven strings', 'tuning: B E A D G B E', 'tuning: E A D G B E'],
  ['twelve strings', 'tuning: E E A A D D G G B B E E', 'tuning: E A D G B E'],
  ['from the first string on', 'tuning: E B G D A E', 'tuning: E A D G B E'],
  ['a name with its notes', 'tuning: Standard (EADGBE)', 'tuning: E A D G B E'],
  ['a name of the trade', 'tuning: Drop C', 'tuning: drop C = C2 G2 C3 F3 A3 D4'],
  ['a capo beyond the octave', 'capo: 15', 'capo: 3'],
  ['a capo in a word', 'capo: third fret', 'capo: 3'],
  ['the key of', 'key of G', 'key: G'],
  ['a key on H with a sharp', 'key: H#', 'key: B#'],
  ['groups miscounted', 'meter: 7/8 (2+2+2)', 'meter: 7/8 (2+2+3)'],
  ['a string short', 'shape C = 32010', 'shape C = x32010'],
  ['a string too many', 'shape G = 3200033', 'shape G = 320003'],
  ['a style for the drums', 'drums: rock', 'drums: kit'],
])('at the top: %s', (_, typed, wanted) => {
  expect(allCured(top(typed))).toBe(top(wanted));
});

test.each([
  ['numbers of the key, all at once', '| 1 | 4 | 57 | 6- |', '| G | C | D7 | Em |'],
  ['Roman ones', '| I | IV | V7 | vi |', '| G | C | D7 | Em |'],
  ['the flat seventh', '| bVII | I |', '| F | G |'],
  ['a number over a bass', '| 5/7 | 1 |', '| D/F# | G |'],
  ['silence that goes on', '| G / R R | R |', '| G / N.C. / | N.C. |'],
  ['no chord', '| G | no chord |', '| G | N.C. |'],
  ['a stroke too many', '| G / / / / |', '| G / / / |'],
  ['a stroke too many, with a tempo', '| rit. = 80 G / / / / |', '| rit. = 80 G / / / |'],
  ['a held beat in a short bar', '| G / / fermata |', '| G / / fermata / |'],
  [
    'brackets of a name beside a mark',
    '| a tempo Gm(add9) / / / fermata / |',
    '| a tempo Gm(add9) / / / fermata |',
  ],
  ['a remark in a short bar', '| "slow" G D A |', '| "slow" G D A / |'],
  ['two chords on one beat', '| (G D) A |', '| (G D) A / / |'],
  ['one bar of another meter', '| 3/4 G / / | D / / / |', '| 3/4 G / / | 4/4 D / / / |'],
  ['eighths of 6/8', 'meter: 6/8\n| G / / / D |', 'meter: 6/8\n| G / / / D / |'],
  ['a comma between chords', '| G,D |', '| G D |'],
  ['a kind behind a space', '| C maj7 | F #m |', '| Cmaj7 | F#m |'],
  ['one chord in parentheses', '| G (D) |', '| G D |'],
  ['a bar from a bar that is to come', '| % | G |', '| G | G |'],
  ['the bar before, and a chord', '| G | % D |', '| G | G D |'],
  ['two remarks', '| "softly" "now" G |', '| "softly; now" G |'],
  ['a short bar inside', '| G | pickup 1/4 D | G |', '| G | 1/4 D | 4/4 G |'],
  ['a pickup of a bar and a beat', '| pickup 5/4 G | D |', '| pickup 1/4 G | D |'],
  ['a pickup of a whole bar', '| pickup 4/4 G | D |', '| G | D |'],
  ['played too often', '|: G | D :| x99', '|: G | D :| x9'],
  ['repeat as a word', '| G | D | repeat', '|: G | D :|'],
  ['endings in brackets', '|: G |[1. D :|[2. G |', '|: G |1. D :|2. G |'],
  ['a fermata with a point', '| G fermata. |', '| G fermata |'],
  ['a shape with a string too few', '| C[32010] |', '| C[x32010] |'],
  ['a tempo with a dash', '| rit. G | a-tempo D |', '| rit. G | a tempo D |'],
  ['a strum without spaces', 'strum: DDUUDU\n| G |', 'strum: eighths D- DU -U DU\n| G |'],
  [
    'a strum in words',
    'strum: down down up up down up\n| G |',
    'strum: eighths D- DU -U DU\n| G |',
  ],
  ['a strum of gaps', 'strum: eighths -- -- -- --\n| G |', 'strum: eighths D- -- -- --\n| G |'],
])('in bars: %s', (_, typed, wanted) => {
  expect(allCured(verse(typed))).toBe(verse(wanted));
});

test.each([
  ['a bar like one below', `${verse('like: B')}[B]\n| C |\n`, `${verse('| C |')}[B]\n| C |\n`],
  ['a slip in the name', `${GOOD}[B]\nlike: Verce\n`, `${GOOD}[B]\nlike: Verse\n`],
  [
    'bars the wrong way round',
    `${GOOD}[B]\nlike: Verse, bars 2-1\n`,
    `${GOOD}[B]\nlike: Verse, bars 1–2\n`,
  ],
  ['a second verse', `${GOOD}[Verse]\n| C |\n`, `${GOOD}[Verse 2]\n| C |\n`],
  ['a second verse without bars', `${GOOD}[Verse 2]\n`, `${GOOD}[Verse 2]\nlike: Verse\n`],
  ['another key on the way', `${GOOD}key: A\n`, `${GOOD}remark: key A\n`],
  ['another title', `${GOOD}title: Again\n`, `${GOOD}# title: Again\n`],
])('in sections: %s', (_, typed, wanted) => {
  expect(allCured(typed)).toBe(wanted);
});

test('a strum at the top is put under every section that has none', () => {
  const text =
    'title: T\ntempo: 96\nstrum: eighths D-\n[A]\n| G |\n[B]\nstrum: eighths DU\n| C |\n';
  const cured =
    'title: T\ntempo: 96\n\n[A]\nstrum: eighths D-\n| G |\n[B]\nstrum: eighths DU\n| C |\n';
  expect(allCured(text)).toBe(cured);
});

test.each([
  ['names of notes', '| 4 E G A B |', '| 4 1/0 1/3 1/5 1/7 |'],
  ['names without bar lines', 'E G A B', '| 4 1/0 1/3 1/5 1/7 |'],
  ['small names', '| 4 e g a b |', '| 4 1/0 1/3 1/5 1/7 |'],
  ['names beside the fifth fret', '| 4 3/7 A 3/5 B |', '| 4 3/7 4/7 3/5 3/4 |'],
  ['names with octaves', '| 4 E4 B3 G3 E2 |', '| 4 1/0 2/0 3/0 6/0 |'],
  ['names struck together', '| 1 E+G# |', '| 1 1/0+3/1 |'],
  ['four notes without a value', '| 3/7 3/5 3/7 3/5 |', '| 4 3/7 3/5 3/7 3/5 |'],
  ['two bars without their line', '| 2 3/7 3/5 3/7 3/5 |', '| 2 3/7 3/5 | 3/7 3/5 |'],
  ['signs without their spaces', '| 2 3/5h7 |', '| 2 3/5 h7 |'],
  ['a slide without its space', '| 2 3/7s5 |', '| 2 3/7 \\5 |'],
  ['vibrato as a letter', '| 1 3/7v |', '| 1 3/7~ |'],
])('a lead line: %s', (_, typed, wanted) => {
  expect(allCured(lead(typed))).toBe(lead(wanted));
});

test.each([
  ['a fifth up', 'Guitar, fifth up', '| 2 3/14 p12 |'],
  ['in unison', 'Guitar in unison', '| 2 3/7 p5 |'],
  ['a third lower', 'Guitar, a lower third', 'Guitar, third below'],
])('a part that follows another: %s', (_, typed, wanted) => {
  const both = (b: string): string => `${lead('| 2 3/7 p5 |')}part B: ${b}\n`;
  expect(allCured(both(typed))).toBe(both(wanted));
});

test.each([
  ['a tuning of another instrument', top('tuning: E A D G')],
  ['a tuning that nobody knows', top('tuning: banjo')],
  ['a string that there is not', lead('| 1 8/9 |')],
  ['signs that mean nothing', lead('| 1 ?? |')],
  ['a section that is nowhere', verse('like: Chorus')],
  ['an interval that is not said', `${lead('| 1 3/7 |')}part B: Guitar, harmony\n`],
])('no false cure: %s', (_, text) => {
  const { problems } = readTypedChart(text);
  expect(problems).toHaveLength(1);
  expect(problems[0]!.remedy).toBeUndefined();
});

test.each([
  ['a tempo that was meant', head('title: T\ntempo = 96')],
  ['a section that was meant', 'title: T\ntempo: 96\n[Verse] | G |\n'],
  ['bars that were meant', verse('G D Em C')],
])('what cannot be read is not missed as well: %s', (_, text) => {
  expect(readTypedChart(text).problems).toHaveLength(1);
});

test.each([
  ['x0', 'repeat-times'],
  ['x1', 'repeat-times'],
  ['x33', 'repeat-times'],
  ['x999999', 'sign-unreadable'],
])('a repeat %s before an altered ending is told, and unrolled no further', (times, code) => {
  const text = `${verse(`|: ${'G | D | '.repeat(200)}C :| ${times}`)}form:\nVerse x2 ending | C |\n`;
  expect(readTypedChart(text).problems.map((problem) => problem.code)).toContain(code);
});
