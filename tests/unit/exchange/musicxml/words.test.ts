// Words, remarks, marks of tempo and touch out to MusicXML and back, and as other programs write them.
import { describe, expect, test } from 'vitest';
import { unwrap } from '../../../../app/core/base/result.ts';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../../app/core/chart/notation/print.ts';
import { readMusicXml } from '../../../../app/core/exchange/musicxml/read/read.ts';
import { writeMusicXml } from '../../../../app/core/exchange/musicxml/write/write.ts';

const chartOf = (text: string) => unwrap(parseChart(`title: Test\ntempo: 96\n${text}`));
/** What stands under the head, after the trip. */
const back = (text: string): string => {
  const read = unwrap(readMusicXml(unwrap(writeMusicXml(chartOf(text)))));
  expect(read.warnings).toEqual([]);
  return printChart(read.chart);
};
const same = (text: string) => expect(back(text)).toBe(printChart(chartOf(text)));

describe('out and in, to the letter', () => {
  test.each([
    ['words by syllable and beat', '[A]\n| G | D |\nwords: | Down by the | har-bour @3& lights |'],
    ['a word over the bar line', '[A]\n| G | D |\nwords: | a- | way now |'],
    ['a hyphen that is seen', '[A]\n| G |\nwords: | twen-ty--one |'],
    ['triplet places', '[A]\n| G |\nwords: | @2+1/3 late @4 on |'],
    ['verses of a repeat', '[A]\n|: G | D :|\nwords: | one | two |\nwords 2: | three | four |'],
    ['verses of two times through', '[A]\n| G |\nwords: | one |\nwords 2: | two |\nform:\nA x2'],
    ['the same words each time', '[A]\n| G |\nwords: | one |\n\n[B]\n| D |\nform:\nA\nB\nA'],
    [
      'words of an altered ending',
      '[A]\n| G | D | Em |\nform:\nA x2 ending | C |\nwords: | home |',
    ],
    [
      'remarks on section, bar and chord',
      '[A]\nremark: all of it soft\n| "watch me" G | D"little finger lifted" |',
    ],
    ['marks of tempo', '[A]\n| rit. = 80 G | D | a tempo Em | accel. C |'],
    ['fermatas', '[A]\n| G / / D fermata | C / fermata +3 / / |'],
    ['touch', '[A]\nstrum: eighths D.Um> D>- DxU DU\n| G | D |'],
    ['a slide into a chord', '[A]\n| G | ~A |'],
    ['who it is by', 'by: Nobody Much\n[A]\n| G |'],
    [
      'syllables of lengths that no one note has',
      'meter: 5/4\n[A]\n| G / / D / | G / / D / | G / / D / |\nwords: | har-bour | one two three | a b c d e f g |',
    ],
    ['a pickup with words', '[A]\n| pickup 1/4 D | G |\nwords: | And | down we go |'],
  ])('%s', (_, text) => same(text));
});

describe('as the standard has them', () => {
  const score = unwrap(
    writeMusicXml(
      chartOf(
        '[A]\nstrum: eighths D.Um DU DU DU\n| ~G | D fermata |\nwords: | har-bour | lights |',
      ),
    ),
  );
  test.each([
    '<syllabic>begin</syllabic>',
    '<text>har</text>',
    '<staccato/>',
    '<scoop/>',
    '<mute>palm</mute>',
    '<fermata/>',
    '<part-name>Words</part-name>',
  ])('%s', (sign) => expect(score.replaceAll(/\s*\n\s*/gu, '')).toContain(sign));
});

describe('every note and rest has a value that readers know', () => {
  const score = (text: string) => unwrap(writeMusicXml(chartOf(text))).replaceAll(/\s*\n\s*/gu, '');
  /** Length in quarter notes, as the value says and as the duration says, of all notes of a part. */
  const lengths = (part: string): readonly (readonly [value: number, duration: number])[] => {
    let divisions = 24;
    return [...part.matchAll(/<divisions>(\d+)|<note>.*?<\/note>/gu)].flatMap(([text, fresh]) => {
      if (fresh !== undefined) divisions = Number(fresh);
      if (fresh !== undefined || text.includes('measure="yes"')) return [];
      const type = /<type>(\w+)<\/type>/u.exec(text)?.[1];
      const plain = { whole: 4, half: 2, quarter: 1, eighth: 0.5, '16th': 0.25 }[type ?? ''] ?? 0;
      const [, actual = 1, normal = 1] =
        /<actual-notes>(\d+).*?<normal-notes>(\d+)/u.exec(text) ?? [];
      const dots = text.includes('<dot/>') ? 1.5 : 1;
      const duration = Number(/<duration>(\d+)/u.exec(text)![1]);
      return [[(plain * dots * Number(normal)) / Number(actual), duration / divisions] as const];
    });
  };

  test.each([
    ['4/4', '| G | G | G |', '| a b | a b c | a b c d e |'],
    ['5/4', '| G / / D / | G / / D / | G / / D / |', '| a b | a b c | a b c d e f g |'],
    ['6/8', '| G | G | G |', '| @2 a | a b c d | a b c d e |'],
  ])('%s', (meter, bars, words) => {
    const [, part] = score(`meter: ${meter}\n[A]\n${bars}\nwords: ${words}`).split(
      '<part id="P2">',
    );
    const found = lengths(part!);
    expect(found.length).toBeGreaterThan(5);
    for (const [value, duration] of found) expect(value).toBeCloseTo(duration, 9);
  });

  test.each([
    ['2/4', '4/4', 'half'],
    ['9/16', '4/4', '16th half'],
    ['5/8', '3/4', 'eighth half'],
    ['4/4', '5/4', 'half half'],
    ['9/8', '12/8', 'quarter. half.'],
  ])('a pickup of %s in %s rests for its own length, never a whole', (length, meter, rests) => {
    const text = `meter: ${meter}\n[A]\n| pickup ${length} ${'/ '.repeat(Number.parseInt(length))}| G |\nline: Hook, bar 1\npart One: | ${LEAD_BARS.get(meter)} |`;
    const parts = score(text).split('<part id=').slice(2);
    expect(parts).toHaveLength(1);
    const [pickup] = parts[0]!.split('</measure>');
    expect(pickup).not.toContain('measure="yes"');
    const values = [...pickup!.matchAll(/<type>(\w+)<\/type>\s*(<dot\/>)?/gu)];
    expect(values.map(([, type, dot]) => `${type}${dot ? '.' : ''}`).join(' ')).toBe(rests);
  });
});

/** A bar of a lead in each meter. */
const LEAD_BARS = new Map([
  ['4/4', '1 3/0'],
  ['3/4', '2. 3/0'],
  ['5/4', '1 3/0 4 -'],
  ['12/8', '1. 3/0'],
]);

test('other programs are told the tempos of a gradual change beat by beat, and the own one after it', () => {
  const text = '[A]\n| G | rit. = 80 G | a tempo G | G / fermata / / |\n\n[B]\n| G |';
  const score = unwrap(writeMusicXml(chartOf(text)));
  const sounds = [...score.matchAll(/<sound tempo="([\d.]+)"/gu)].map(([, bpm]) => Number(bpm));
  expect(sounds).toEqual([96, 92, 88, 84, 80, 96, 96, 48, 96, 96]);
  expect(back(text)).toBe(printChart(chartOf(text)));
});

/** A melody part with words, as notation programs write one, with the chords over it. */
const elsewhere = (measures: string): string =>
  `<score-partwise><identification><creator type="lyricist">A. Body</creator></identification><part-list><score-part id="P1"><part-name>Voice</part-name></score-part></part-list><part id="P1">${measures}</part></score-partwise>`;
const note = (duration: number, lyric = '', more = ''): string =>
  `<note><pitch><step>C</step><octave>4</octave></pitch><duration>${duration}</duration><voice>1</voice>${more}${lyric}</note>`;
const lyric = (text: string, syllabic = 'single', number = 1): string =>
  `<lyric number="${number}"><syllabic>${syllabic}</syllabic><text>${text}</text></lyric>`;
const chord = (step: string): string =>
  `<harmony><root><root-step>${step}</root-step></root><kind>major</kind></harmony>`;
const direction = (words: string): string =>
  `<direction><direction-type><words>${words}</words></direction-type></direction>`;

test('words, remarks and marks of another program', () => {
  const text = elsewhere(
    `<measure number="1"><attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes>${direction('with a light hand')}${chord('C')}${note(2, lyric('har', 'begin') + lyric('two', 'single', 2))}${note(2, lyric('bour', 'end'))}${note(4, lyric('lights'))}</measure>` +
      `<measure number="2">${direction('rall.')}${chord('G')}${note(4)}${note(4, lyric('shine'), '<notations><fermata/></notations>')}</measure>`,
  );
  const { chart } = unwrap(readMusicXml(text));
  expect(printChart(chart).split('\n').filter(Boolean).slice(1)).toEqual([
    'by: A. Body',
    'tempo: ♩ = 100',
    'meter: 4/4',
    '[Song]',
    expect.stringMatching(/^ *\| "with a light hand" C +\| rit\. G \/ \/ fermata \/ \|$/),
    expect.stringMatching(/^words: +\| har-bour @3 lights +\| @3 shine +\|$/),
    expect.stringMatching(/^words 2: +\| two +\| +\|$/),
    'form:',
    'Song',
  ]);
});
