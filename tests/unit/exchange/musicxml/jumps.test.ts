// D.C., D.S., Fine and coda of MusicXML files become the form of a chart, as players take them (common practice, no source).
import { describe, expect, test } from 'vitest';
import { playForm } from '../../../../app/core/units/bars/played-bars.ts';
import type { ChartBody } from '../../../../app/core/model/chart.ts';
import { readMusicXml } from '../../../../app/core/exchange/musicxml/read/read.ts';
import { unwrap } from '../../../../app/core/base/result.ts';

const SIGNS: Record<string, string> = {
  '|:': '<barline location="left"><repeat direction="forward"/></barline>',
  ':|': '<barline location="right"><repeat direction="backward"/></barline>',
  ':|!': '<barline location="right"><repeat direction="backward" after-jump="yes"/></barline>',
  '1.': '<barline location="left"><ending number="1" type="start"/></barline>',
  '2.': '<barline location="left"><ending number="2" type="start"/></barline>',
  'D.C.': '<sound dacapo="yes"/>',
  'D.C.2': '<sound dacapo="yes" time-only="2"/>',
  'D.S.': '<sound dalsegno="s"/>',
  segno: '<sound segno="s"/>',
  coda: '<sound coda="c"/>',
  'to-coda': '<sound tocoda="c"/>',
  fine: '<sound fine="yes"/>',
};
const words = (text: string, sign = ''): string =>
  `<direction><direction-type>${sign}<words>${text.replaceAll('_', ' ')}</words></direction-type></direction>`;
const drawn = (sign: string): string =>
  `<direction><direction-type><${sign}/></direction-type></direction>`;

/** "G" is a bar with that chord; what stands before it in its bar are signs, "quoted_words", <drawn> or [Headings]. */
function score(text: string): string {
  const bars = text.trim().split(/\s*;\s*/);
  const measures = bars.map((bar) => {
    const content = bar.split(/\s+/).map((sign) => {
      if (/^[A-G]$/.test(sign)) {
        return `<harmony><root><root-step>${sign}</root-step></root><kind>major</kind></harmony><note><rest/><duration>4</duration></note>`;
      }
      if (sign.startsWith('"')) return words(sign.slice(1, -1));
      if (sign.startsWith('<')) return drawn(sign.slice(1, -1));
      if (sign.startsWith('[')) {
        return `<direction><direction-type><rehearsal>${sign.slice(1, -1)}</rehearsal></direction-type></direction>`;
      }
      return SIGNS[sign]!;
    });
    return `<measure>${content.join('')}</measure>`;
  });
  return `<score-partwise><part-list/><part><measure><attributes><divisions>1</divisions></attributes><sound tempo="90"/></measure></part></score-partwise>`.replace(
    /<measure>(.*)<\/measure>/,
    (_, head: string) => measures.join('').replace('<measure>', `<measure>${head}`),
  );
}

const opened = (text: string) => unwrap(readMusicXml(score(text)));
const played = (chart: ChartBody): string =>
  unwrap(playForm(chart))
    .map(({ chords, held }) => (chords[0]?.chord ?? held)?.symbol)
    .join('');
const formOf = ({ form }: ChartBody): string =>
  form.map(({ section, times }) => (times > 1 ? `${section} x${times}` : section)).join(', ');

describe('what is played', () => {
  test.each([
    ['da capo', 'A ; B ; D.C. C', 'ABCABC'],
    ['da capo, then on', 'A ; D.C. B ; C', 'ABABC'],
    ['da capo al Fine', 'A ; fine B ; D.C. C', 'ABCAB'],
    ['dal segno', 'A ; segno B ; D.S. C', 'ABCBC'],
    ['dal segno al Fine', 'A ; segno B ; fine C ; D.S. D', 'ABCDBC'],
    ['da capo al coda', 'A ; to-coda B ; D.C. C ; coda D ; E', 'ABCABDE'],
    ['dal segno al coda', 'A ; segno B ; to-coda C ; D.S. D ; coda E', 'ABCDBCE'],
    ['repeats are not taken again', '|: A ; :| B ; D.C. C', 'ABABCABC'],
    ['unless the file says so', '|: A ; :|! B ; D.C. C', 'ABABCABABC'],
    ['the last ending after the jump', '|: A ; 1. :| B ; 2. C ; D.C. D', 'ABACDACD'],
    ['repeats in the coda are taken', 'A ; to-coda B ; D.C. C ; |: coda D ; :| E', 'ABCABDEDE'],
    ['the jump comes when its repeat is done', '|: A ; D.C. :| B', 'ABABAB'],
    ['or when the file says', '|: A ; :| D.C.2 B ; C', 'ABABABC'],
    ['a sign in the second ending', '|: A ; 1. :| B ; 2. to-coda C ; D.C. D ; coda E', 'ABACDACE'],
    ['words alone', 'A ; "Fine" B ; "D.C._al_Fine" C', 'ABCAB'],
    [
      'words and drawn signs',
      'A ; <segno> B ; "To_Coda" C ; "D.S._al_Coda" D ; <coda> E',
      'ABCDBCE',
    ],
    ['a heading for the coda', 'A ; to-coda B ; D.C. C ; [Coda] D', 'ABCABD'],
    ['two drawn codas', 'A ; <segno> B ; <coda> C ; "D.S._al_Coda" D ; <coda> E', 'ABCDBCE'],
    [
      'al Fine, past a sign to a coda',
      'A ; to-coda B ; fine C ; "D.C._al_Fine" D ; coda E',
      'ABCDABC',
    ],
    ['two jumps', 'A ; to-coda B ; "D.C._al_Coda" C ; coda D ; segno E ; D.S. F', 'ABCABDEFEF'],
  ])('%s', (_, text, expected) => {
    const { chart, warnings } = opened(text);
    expect(played(chart)).toBe(expected);
    expect(warnings).toEqual([]);
  });
});

describe('the form that it becomes', () => {
  test.each([
    ['sections come again', '[Verse] A ; B ; [Chorus] C ; D.C. D', 'Verse, Chorus, Verse, Chorus'],
    [
      'a coda without a heading of its own',
      '[Verse] A ; to-coda B ; [Chorus] C ; D.C. D ; coda E',
      'Verse, Chorus, Verse, Coda',
    ],
    [
      'a segno and a sign inside sections cut them',
      '[Verse] A ; segno B ; [Chorus] C ; to-coda C ; D ; D.S. E ; [End] coda F',
      'Verse, Verse part 2, Chorus, Chorus part 2, Verse part 2, Chorus, End',
    ],
    [
      'a section repeated as a whole',
      '[Verse] |: A ; :| B ; [End] D.C. C',
      'Verse x2, End, Verse, End',
    ],
  ])('%s', (_, text, expected) => {
    expect(formOf(opened(text).chart)).toBe(expected);
  });

  test('a section that keeps its endings where all of it is played', () => {
    const { chart } = opened('[Verse] |: A ; 1. :| B ; 2. C ; [End] fine D ; D.C. E');
    expect(formOf(chart)).toBe('Verse, End, End part 2, Verse 2, End');
    expect(chart.sections[0]!.bars.map(({ endings }) => endings)).toEqual([undefined, [1], [2]]);
  });
});

describe('what a form cannot follow is said, with its bar', () => {
  test.each([
    ['no segno', 'A ; D.S. B', 'AB', 'bar 2 says D.S., but there is no segno to go back to'],
    ['no coda', 'A ; to-coda B ; D.C. C', 'ABCABC', 'bar 2 leads to a coda, but there is none'],
    ['no Fine', 'A ; "D.C._al_Fine" B', 'ABAB', 'bar 2 goes back to play as far as the Fine'],
    ['no way to the coda', 'A ; "D.C._al_Coda" B ; coda C', 'ABABC', 'bar 2 goes back to play as'],
    ['a Fine that is never passed', 'A ; fine B ; C', 'ABC', 'bar 2 has a Fine, but no D.C.'],
    ['a coda sign without a jump', 'A ; to-coda B ; coda C', 'ABC', 'bar 2 has a sign to the coda'],
    [
      'a Fine in a skipped ending',
      '|: A ; 1. fine :| B ; 2. "D.C._al_Fine" C',
      'ABACAC',
      'bar 3 goes',
    ],
  ])('%s', (_, text, expected, message) => {
    const { chart, warnings } = opened(text);
    expect(played(chart)).toBe(expected);
    expect(warnings.map((w) => w.message).join()).toContain(message);
    expect(warnings.map((w) => w.code)).toContain('musicxml-jump');
  });

  test('a jump beside repeat signs that contradict each other', () => {
    const { chart, warnings } = opened('|: A ; |: B ; D.C. C');
    expect(played(chart)).toBe('ABC');
    expect(warnings.map((w) => w.message)).toContain(
      'the jump in bar 3 is not followed, since the repeat signs contradict each other',
    );
  });

  test('a Fine at the end of a bar that is shorter than its meter', () => {
    const file = score('A ; B ; D.C. C').replace(
      /(step>B.*?<duration>)4(<.*?note>)/,
      '$13$2<sound fine="yes"/>',
    );
    const messages = unwrap(readMusicXml(file)).warnings.map((w) => w.message);
    expect(messages.filter((message) => message.includes('Fine'))).toEqual([]);
  });

  test('a Fine inside its bar', () => {
    const file = score('A ; B ; D.C. C').replace(
      /(step>B.*?<note>.*?<duration>)4(<.*?note>)/,
      '$12$2<sound fine="yes"/><note><rest/><duration>2</duration></note>',
    );
    const { chart, warnings } = unwrap(readMusicXml(file));
    expect(played(chart)).toBe('ABCAB');
    expect(warnings.map((w) => w.message)).toEqual([
      'bar 2 has its Fine inside: the chart ends after the bar',
    ]);
  });

  test('a Fine at the end of the last bar says nothing new', () => {
    expect(opened('A ; fine B').warnings).toEqual([]);
  });

  test('more jumps than any piece has', () => {
    const { chart, warnings } = opened(
      Array.from({ length: 40 }, () => 'segno D.S. A').join(' ; '),
    );
    expect(played(chart)).toHaveLength(40 + 32);
    expect(warnings.map((w) => w.message)).toEqual([
      'bar 33 has one jump too many: only the first 32 are followed',
    ]);
  });
});

test('a mark after the last note of a bar is that of the next', () => {
  const file = score('A ; B ; D.S. C').replace(
    /(step>A.*?<\/note>)/,
    '$1<direction><direction-type><segno/></direction-type></direction>',
  );
  expect(played(unwrap(readMusicXml(file)).chart)).toBe('ABCBC');
});
