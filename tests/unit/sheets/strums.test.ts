// Strums and remarks that a sheet tells: laid on the bars of their section, or said to be left out.
import { describe, expect, test } from 'vitest';
import { parseMeter } from '../../../app/core/chart/notation/fields.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { draftOf } from '../../../app/core/sheets/draft.ts';
import { fieldOf } from '../../../app/core/sheets/fields.ts';
import { readSheet } from '../../../app/core/sheets/read.ts';
import { strumOver } from '../../../app/core/sheets/strum.ts';
import { printStrum } from '../../../app/core/rhythm/strum.ts';

const draft = (sheet: string) => {
  const read = readSheet(sheet);
  const { text, guesses } = draftOf(read);
  const { sections } = unwrap(parseChart(text));
  const strums = sections.map(({ strum }) => strum && printStrum(strum).replace('eighths ', ''));
  return { text, guesses, sections, strums, leftOut: read.leftOut };
};

// Common practice, no source: the hand goes on down and up, a stroke on each moment that is told.
test.each([
  ['4/4', 'D DU UDU', 'eighths D- DU -U DU'],
  ['4/4', 'D D U U D U', 'eighths D- DU -U DU'],
  ['4/4', 'D-DU-UDU', 'eighths D- DU -U DU'],
  ['4/4', 'down down up up down up', 'eighths D- DU -U DU'],
  ['4/4', '↓ ↓↑ ↑↓↑', 'eighths D- DU -U DU'],
  ['4/4', 'ab ab auf auf ab auf', 'eighths D- DU -U DU'],
  ['4/4', 'D D D D', 'eighths D- D- D- D-'],
  ['4/4', 'D DU', 'eighths D- DU'],
  ['4/4', 'D D D D D D D D', 'eighths DD DD DD DD'],
  ['4/4', 'D - D - D U D U', 'eighths D- D- DU DU'],
  ['4/4', 'D DU UDU D D DUDU', 'eighths D- DU -U DU D- D- DU DU'],
  ['3/4', 'D DU DU', 'eighths D- DU DU'],
  ['3/4', 'D D D', 'eighths D- D- D-'],
  ['6/8', 'D D U D D U', 'eighths DDU DDU'],
  ['6/8', 'DUDUDU', 'eighths DUD UDU'],
  ['2/4', 'D DU', 'eighths D- DU'],
])('in %s “%s” is %s', (meter, strokes, typed) => {
  const of = unwrap(parseMeter(meter));
  const laid = strumOver(strokes, of);
  expect(laid && printStrum(laid, of)).toBe(typed);
});

test('what two bars cannot hold, and a bar that is no whole eighths, have no strum', () => {
  expect(strumOver('D '.repeat(17), unwrap(parseMeter('4/4')))).toBeUndefined();
  expect(strumOver('D D', unwrap(parseMeter('5/16')))).toBeUndefined();
});

test.each([
  'Strum: D DU UDU',
  'strumming: d du udu',
  'Strumming pattern D D U U D U',
  '(strum: ↓ ↓↑ ↑↓↑)',
  'Schlagmuster: ab ab auf auf ab auf',
  'Capo 2, strum D DU UDU',
])('“%s” is a line of facts', (line) => {
  expect(fieldOf(line)).toHaveProperty('strum');
});

test.each([
  'Strum up and down the street',
  'I strum down up the hill',
  'Strum: D G A',
  'Strum: gently',
  'D D U',
  'Pattern: 1 2 3',
])('“%s” tells no strokes', (line) => {
  expect(fieldOf(line)?.strum).toBeUndefined();
});

describe('whose strum it is', () => {
  const SONG = '[Verse]\n| C | G |\n\n[Chorus]\n| F | G |\n';

  test.each([
    ['above the song', `Title\nStrum: D DU\n\n${SONG}`],
    ['beside another fact', `Title\nTempo: 90, strum D DU\n\n${SONG}`],
    ['apart below it', `Title\n\n${SONG}\nStrum: D DU\n`],
  ])('%s: of all sections', (_, sheet) => {
    expect(draft(sheet).strums).toEqual(['D- DU', 'D- DU']);
  });

  test('below a name or a line of bars: of that section, the others keep the song’s', () => {
    expect(
      draft('Title\nStrum: D DU\n\n[Verse]\n| C |\n\n[Chorus]\nStrum: D D D D\n| F |').strums,
    ).toEqual(['D- DU', 'D- D- D- D-']);
    expect(draft('Title\n\n[Verse]\n| C |\nStrum: D DU\n\n[Chorus]\n| F |\n').strums).toEqual([
      'D- DU',
      undefined,
    ]);
  });

  test('a verse of words alone is strummed as the one whose bars it takes', () => {
    const sheet = [
      'Title',
      '',
      'Verse 1',
      'Strum: D DU',
      'C        G',
      'One and a little lamp',
      '',
      'Verse 2',
      'Two and a wooden door',
    ].join('\n');
    expect(draft(sheet).strums).toEqual(['D- DU', 'D- DU']);
  });

  test('what is made of it is told, and what fits no bar is left out and told', () => {
    expect(draft(`Title\nStrum: D DU UDU\n\n${SONG}`).guesses).toContain(
      'The strum “D DU UDU” is read as eighths D- DU -U DU.',
    );
    const long = 'D '.repeat(17).trim();
    const { strums, guesses } = draft(`Title\nStrum: ${long}\n\n${SONG}`);
    expect(strums).toEqual([undefined, undefined]);
    expect(guesses).toContain(`The strum “${long}” fits no bar and is left out.`);
  });
});

describe('remarks', () => {
  const remarksOf = (sheet: string) => draft(sheet).sections.map(({ remarks }) => remarks ?? []);

  test('a note for the player is a remark of the section that it stands in', () => {
    expect(
      remarksOf(
        'Title\n\n[Verse]\n(little finger lifted)\n| C | G |\nNote: watch the G\n\n[End]\n| C |',
      ),
    ).toEqual([['little finger lifted', 'watch the G'], []]);
  });

  test('right above a name: of the section that is named', () => {
    expect(remarksOf('Title\n\n[Verse]\n| C | G |\n\n(softly now)\n[Chorus]\n| F | G |')).toEqual([
      [],
      ['softly now'],
    ]);
  });

  test('above the song: of the first section, named or not', () => {
    const note = 'Work on: the change to F';
    expect(remarksOf(`Title\n${note}\n\n[Verse]\n| C | F |\n`)).toEqual([[note]]);
    expect(remarksOf(`Title\n${note}\n\n| C | F |\n`)).toEqual([[note]]);
  });

  test('of a section that is only named again it is told', () => {
    const { guesses, sections } = draft(
      'Title\n\n[Verse]\n| C | F |\n\n[Chorus]\n| F | G |\n\n(softly now)\n[Verse]\n\n[Chorus]\n',
    );
    expect(sections.map(({ remarks }) => remarks)).toEqual([undefined, undefined]);
    expect(guesses).toContain(
      '“softly now” at Verse, which has no bars of its own here, is left out.',
    );
  });

  test('a strum in other signs stays as a remark', () => {
    expect(remarksOf('Title\n\n[Verse]\nStrum: D x U x\n| C | G |\n')).toEqual([
      ['Strum: D x U x'],
    ]);
  });

  test('what is too long for a remark is left out and told', () => {
    const long = `Note: hold ${'very '.repeat(50)}long`;
    const { sections, leftOut } = draft(`Title\n\n[Verse]\n| C | G |\n${long}\n`);
    expect(sections[0]!.remarks).toBeUndefined();
    expect(leftOut).toEqual([{ line: 5, text: long, why: 'a note for the player' }]);
  });

  test.each([
    ['F  C  G  (let ring)', '| F | C | G "let ring" |'],
    ['F  C(hold)  G', '| F | C "hold" | G |'],
    ['| F | C (stop) | G |', '| F | C "stop" | G |'],
    ['F  C  let ring  G (hold)', '| F | C "let ring" | G "hold" |'],
    ['(slow) F  C  "hold"  G', '| F "slow" | C "hold" | G |'],
  ])('beside chords it is a remark of the bar: %s', (line, bars) => {
    const { text, leftOut } = draft(`Title\n\n[Verse]\n${line}\n\n[End]\n| C | C |\n`);
    expect(text).toContain(bars);
    expect(leftOut).toEqual([]);
  });

  test('it goes with its chord where lines with the same chords get the same bars', () => {
    const sheet = [
      'Title',
      '',
      'Verse',
      'G       D       Em  C (let ring)',
      'Carry a lantern over the hill',
      'G       D       Em      C',
      'Carry a lantern over the water',
      'G       D       Em      C',
      'Carry a lantern under the water',
    ].join('\n');
    expect(draft(sheet).text).toContain('| G | D | Em | C "let ring" |');
  });
});
