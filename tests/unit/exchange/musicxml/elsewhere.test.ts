// What other programs write into MusicXML files, piece by piece: small files of our own invention.
import { describe, expect, test } from 'vitest';
import { printChart } from '../../../../app/core/chart/notation/print.ts';
import { readMusicXml } from '../../../../app/core/exchange/musicxml/read/read.ts';
import { unwrap } from '../../../../app/core/base/result.ts';

const score = (parts: readonly (readonly string[])[]): string =>
  `<score-partwise><part-list>${parts.map((_, i) => `<score-part id="P${i + 1}"><part-name>Line ${i + 1}</part-name></score-part>`).join('')}</part-list>${parts
    .map(
      (bars, i) =>
        `<part id="P${i + 1}">${bars.map((bar) => `<measure>${bar}</measure>`).join('')}</part>`,
    )
    .join('')}</score-partwise>`;
const opened = (...bars: string[]) => unwrap(readMusicXml(score([bars])));
const rowsOf = (chart: ReturnType<typeof opened>['chart'], start: RegExp): string[] =>
  printChart(chart)
    .split('\n')
    .filter((line) => start.test(line));
const bars = (...contents: string[]): string[] => rowsOf(opened(...contents).chart, /^\|/);
const head = (name: string, ...contents: string[]): string[] =>
  rowsOf(opened(...contents).chart, new RegExp(`^${name}:`)).map((line) =>
    line.slice(name.length + 2),
  );
const codes = (...contents: string[]): string[] =>
  opened(...contents).warnings.map(({ code }) => code);

const attributes = (inside: string): string => `<attributes>${inside}</attributes>`;
const time = (beats: number | string, type: number): string =>
  attributes(
    `<divisions>4</divisions><time><beats>${beats}</beats><beat-type>${type}</beat-type></time>`,
  );
const TEMPO = '<sound tempo="90"/>';
const START = `${time(4, 4)}${TEMPO}`;
const rest = (duration: number): string => `<note><rest/><duration>${duration}</duration></note>`;
const harmony = (root: string, kind = 'major', more = ''): string =>
  `<harmony><root><root-step>${root[0]}</root-step>${root[1] ? `<root-alter>${root[1] === '#' ? 1 : -1}</root-alter>` : ''}</root><kind>${kind}</kind>${more}</harmony>`;
const direction = (type: string, sound = ''): string =>
  `<direction><direction-type>${type}</direction-type>${sound}</direction>`;
const key = (fifths: number, mode = 'major'): string =>
  `<key><fifths>${fifths}</fifths><mode>${mode}</mode></key>`;

describe('transposing parts', () => {
  const clarinet = (inside = ''): string =>
    START +
    attributes(
      `${key(2)}<transpose><diatonic>-1</diatonic><chromatic>-2</chromatic></transpose>${inside}`,
    );

  test('chords and key are taken as they sound, and that is said', () => {
    const { chart, warnings } = opened(
      clarinet() + harmony('D') + rest(8) + harmony('A', 'dominant') + rest(8),
    );
    expect(chart.key).toBe('C');
    expect(rowsOf(chart, /^\|/)).toEqual(['| C / G7 / |']);
    expect(warnings.map((w) => w.message)).toEqual([
      'the part is written for an instrument that sounds 2 semitones lower: its chords and key are taken as they sound',
    ]);
  });

  test('an octave changes nothing', () => {
    const octave =
      '<transpose><chromatic>0</chromatic><octave-change>-1</octave-change></transpose>';
    expect(bars(START + attributes(octave) + harmony('D') + rest(16))).toEqual(['| D |']);
    expect(codes(START + attributes(octave) + harmony('D') + rest(16))).toEqual([]);
  });

  test('a shift that is the capo is in the names already', () => {
    const capo =
      '<staff-details><capo>2</capo></staff-details><transpose><chromatic>2</chromatic></transpose>';
    const { chart, warnings } = opened(START + attributes(capo) + harmony('G') + rest(16));
    expect([chart.capo, rowsOf(chart, /^\|/)]).toEqual([2, ['| G |']]);
    expect(warnings).toEqual([]);
  });

  test('diagrams of written chords are left out', () => {
    const frame =
      '<frame><frame-strings>6</frame-strings><frame-frets>4</frame-frets><frame-note><string>1</string><fret>2</fret></frame-note></frame>';
    const bar = clarinet() + harmony('D', 'major', frame) + rest(16);
    expect(bars(bar)).toEqual(['| C |']);
    expect(codes(bar)).toEqual(['musicxml-transpose', 'musicxml-frame']);
  });
});

describe('time', () => {
  test('divisions that change inside the piece', () => {
    expect(
      bars(
        START + harmony('G') + rest(8) + harmony('C') + rest(8),
        attributes('<divisions>480</divisions>') +
          harmony('D') +
          rest(1440) +
          harmony('G') +
          rest(480),
      ),
    ).toEqual(['| G / C / | D / / G |']);
  });

  test('meters that change, sums of groups, and cut time', () => {
    expect(
      bars(
        START + harmony('G') + rest(16),
        time('3+2+2', 8) + harmony('C') + rest(14),
        time(2, 2) + harmony('D') + rest(16),
      ),
    ).toEqual(['| G | 7/8(3+2+2) C | 2/2 D |']);
  });

  test('a pickup, and the short bar at the end that completes it', () => {
    expect(
      bars(START + harmony('D') + rest(4), harmony('G') + rest(16), harmony('C') + rest(12)),
    ).toEqual(['| pickup 1/4 D | G | 3/4 C |']);
  });

  test.each([
    ['<offset>8</offset>', rest(16), '| / / D / |'],
    ['<offset>-4</offset>', '', '| / / / D |'],
  ])('a chord with an offset %s', (offset, after, line) => {
    const before = after === '' ? rest(16) : '';
    expect(bars(START + before + harmony('D', 'major', offset) + after)).toEqual([line]);
  });

  test('a repeat of two bars', () => {
    const start = attributes(
      '<measure-style><measure-repeat type="start">2</measure-repeat></measure-style>',
    );
    const stop = attributes('<measure-style><measure-repeat type="stop"/></measure-style>');
    expect(
      bars(
        START + harmony('G') + rest(16),
        harmony('D') + rest(16),
        start + rest(16),
        rest(16),
        stop + harmony('C') + rest(16),
      ),
    ).toEqual(['| G | D | G | D |', '| C |']);
  });

  test('a repeat of one bar is a simile, with and without what it repeats', () => {
    const start = attributes(
      '<measure-style><measure-repeat type="start">1</measure-repeat></measure-style>',
    );
    expect(
      bars(START + harmony('G') + rest(16), start + rest(16), harmony('G') + rest(16)),
    ).toEqual(['| G | % | % |']);
  });

  test('slashes are shown, and change no chord', () => {
    const slash = attributes('<measure-style><slash type="start" use-stems="no"/></measure-style>');
    expect(bars(START + slash + harmony('G') + rest(8) + harmony('C') + rest(8))).toEqual([
      '| G / C / |',
    ]);
  });
});

describe('tempo', () => {
  const mark = (unit: string, number: string, dots = 0): string =>
    `<metronome><beat-unit>${unit}</beat-unit>${'<beat-unit-dot/>'.repeat(dots)}<per-minute>${number}</per-minute></metronome>`;
  const tempoIn = (meter: string, tempo: string): string[] =>
    head('tempo', meter + tempo + harmony('G') + rest(12));

  test.each([
    ['a dotted quarter', time(6, 8), direction(mark('quarter', '66', 1)), '♩. = 66'],
    ['a half', time(4, 4), direction(mark('half', '60')), 'half = 60'],
    ['a whole, which no ladder counts', time(4, 4), direction(mark('whole', '30')), '♩ = 120'],
    ['sixteenths', time(4, 4), direction(mark('16th', '320')), '♩ = 80'],
    ['a double dot', time(4, 4), direction(mark('quarter', '40', 2)), '♩ = 70'],
    ['about', time(4, 4), direction(mark('quarter', 'c. 96')), '♩ = 96'],
    ['a range', time(4, 4), direction(mark('quarter', '92-100')), '♩ = 92'],
    ['a sound in quarters, counted as its meter is', time(6, 8), '<sound tempo="90"/>', '♩. = 60'],
    ['the same in cut time', time(2, 2), '<sound tempo="120"/>', 'half = 60'],
    [
      'or in quarters, where that is the exact number',
      time(6, 8),
      '<sound tempo="100"/>',
      '♩ = 100',
    ],
    [
      'an equation with a sound',
      time(4, 4),
      direction(
        '<metronome><beat-unit>quarter</beat-unit><beat-unit>half</beat-unit></metronome>',
        '<sound tempo="77"/>',
      ),
      '♩ = 77',
    ],
  ])('%s', (_, meter, tempo, expected) => {
    expect(tempoIn(meter, tempo)).toEqual([expected]);
  });

  test('an equation alone is told', () => {
    const equation = direction(
      '<metronome><beat-unit>quarter</beat-unit><beat-unit>half</beat-unit></metronome>',
    );
    const { warnings } = opened(
      START + harmony('G') + rest(16),
      equation + harmony('D') + rest(16),
    );
    expect(warnings.map((w) => w.message)).toEqual(['bar 2: its tempo mark says no number']);
  });
});

describe('swing', () => {
  const swing = (first: number, second: number, type = 'eighth'): string =>
    `<sound><swing><first>${first}</first><second>${second}</second><swing-type>${type}</swing-type></swing></sound>`;
  const drawn = (long: string): string =>
    direction(
      `<metronome>${'<metronome-note><metronome-type>eighth</metronome-type></metronome-note>'.repeat(2)}<metronome-relation>equals</metronome-relation><metronome-note><metronome-type>${long}</metronome-type><metronome-tuplet type="start"><actual-notes>3</actual-notes><normal-notes>2</normal-notes></metronome-tuplet></metronome-note><metronome-note><metronome-type>eighth</metronome-type></metronome-note></metronome>`,
    );

  test.each([
    ['a ratio', swing(2, 1), 'swing 8 2:1'],
    ['of sixteenths', swing(3, 2, '16th'), 'swing 16 3:2'],
    ['in percent', swing(60, 40), 'swing 8 3:2'],
    ['in percent that are no small numbers', swing(67, 33), 'swing 8 2:1'],
    ['a drawing', drawn('quarter'), 'swing 8 2:1'],
    ['a word', direction('<words>Medium Swing</words>'), 'swing 8 2:1'],
  ])('as %s', (_, feel, expected) => {
    expect(head('feel', START + feel + harmony('G') + rest(16))).toEqual([expected]);
  });

  test('that ends', () => {
    const straight = '<sound><swing><straight/></swing></sound>';
    const { chart } = opened(
      START + swing(2, 1) + harmony('G') + rest(16),
      straight + harmony('D') + rest(16),
    );
    expect(chart.sections.map(({ feel }) => feel)).toEqual([undefined, { kind: 'straight' }]);
  });

  test('that its meter cannot have is read as straight, with a warning, and the rest stays', () => {
    const { chart, warnings } = opened(
      START + swing(2, 1) + harmony('G') + rest(16),
      time(6, 8) + harmony('D') + rest(12),
    );
    expect(warnings.map((w) => w.message)).toEqual([
      'bar 2: “swing 8 2:1” does not go with 6/8, which is read as straight',
    ]);
    expect(chart.sections).toHaveLength(2);
  });
});

describe('chords', () => {
  const read = (chord: string, before = ''): string =>
    bars(START + before + chord + rest(16))[0]!.slice(2, -2);

  test.each([
    ['first inversion', harmony('C', 'major', '<inversion>1</inversion>'), 'C/E'],
    ['second inversion', harmony('A', 'minor', '<inversion>2</inversion>'), 'Am/E'],
    ['third inversion', harmony('G', 'dominant', '<inversion>3</inversion>'), 'G7/F'],
    ['no inversion', harmony('C', 'major', '<inversion>0</inversion>'), 'C'],
    [
      'a bass that is named holds',
      harmony('C', 'major', '<inversion>1</inversion><bass><bass-step>G</bass-step></bass>'),
      'C/G',
    ],
  ])('%s', (_, chord, symbol) => {
    expect(read(chord)).toBe(symbol);
  });

  const functionOf = (roman: string, kind = 'major'): string =>
    `<harmony><function>${roman}</function><kind>${kind}</kind></harmony>`;
  const numeral = (step: number, more = ''): string =>
    `<harmony><numeral><numeral-root>${step}</numeral-root>${more}</numeral><kind>major</kind></harmony>`;

  test.each([
    ['II in G', functionOf('II', 'minor'), key(1), 'Am'],
    ['V in E minor', functionOf('V', 'dominant'), key(1, 'minor'), 'B7'],
    ['flat VII in D', functionOf('bVII'), key(2), 'C'],
    ['numeral 4 in B flat', numeral(4), key(-2), 'Eb'],
    ['numeral 6 in C minor', numeral(6), key(-3, 'minor'), 'Ab'],
    ['numeral 4, raised', numeral(4, '<numeral-alter>1</numeral-alter>'), key(0), 'F#'],
    [
      'a numeral with a key of its own',
      numeral(
        5,
        '<numeral-key><numeral-fifths>2</numeral-fifths><numeral-mode>major</numeral-mode></numeral-key>',
      ),
      key(0),
      'A',
    ],
  ])('%s', (_, chord, inKey, symbol) => {
    expect(read(chord, attributes(inKey))).toBe(symbol);
  });

  test('steps follow a key that changes', () => {
    expect(
      bars(
        START + attributes(key(0)) + functionOf('I') + rest(16),
        attributes(key(3)) + functionOf('I') + rest(16),
      ),
    ).toEqual(['| C | A |']);
  });

  test('chords on top of each other are read as the first, with a warning', () => {
    const stacked = harmony(
      'C',
      'major',
      '<root><root-step>D</root-step></root><kind>major</kind>',
    );
    expect(read(stacked)).toBe('C');
    expect(codes(START + stacked + rest(16))).toEqual(['musicxml-chord-part']);
  });

  test.each([
    ['its own text', 'other', 'm7add11', 'Cm7add11'],
    ['signs that can be read', 'major-seventh', '△7', 'C△7'],
    ['signs that cannot', 'major-seventh', '☐', 'Cmaj7'],
    ['a text of another chord', 'minor', 'maj7', 'Cm'],
  ])('a kind with %s', (_, kind, text, symbol) => {
    const chord = harmony('C').replace('<kind>major', `<kind text="${text}">${kind}`);
    expect(read(chord)).toBe(symbol);
  });
});

describe('several parts and staves', () => {
  const marks = direction('<rehearsal>Verse</rehearsal>', '<sound tempo="120"/>');
  const note = (staff: number, technical = ''): string =>
    `<note><pitch><step>A</step><octave>3</octave></pitch><duration>16</duration><staff>${staff}</staff>${technical ? `<notations><technical>${technical}</technical></notations>` : ''}</note>`;

  test('headings, tempo and jumps of the uppermost part hold for that with the chords', () => {
    const { chart, warnings } = unwrap(
      readMusicXml(
        score([
          [time(4, 4) + marks + rest(16), rest(16) + '<sound dacapo="yes"/>'],
          [time(4, 4) + harmony('G') + rest(16), harmony('D') + rest(16)],
        ]),
      ),
    );
    expect(chart.tempo).toEqual({ bpm: 120, beat: 'quarter' });
    expect(chart.form).toEqual([{ section: 'Verse', times: 2 }]);
    expect(warnings.map(({ code }) => code)).toEqual(['musicxml-parts']);
  });

  test('but its own marks come first', () => {
    const { chart } = unwrap(
      readMusicXml(
        score([
          [time(4, 4) + marks + rest(16)],
          [time(4, 4) + direction('<rehearsal>Tune</rehearsal>') + harmony('G') + rest(16)],
        ]),
      ),
    );
    expect(chart.sections.map(({ name }) => name)).toEqual(['Tune']);
  });

  test('chords over one staff of two', () => {
    const bar = `${START}${harmony('G')}${note(1)}<backup><duration>16</duration></backup>${note(2)}`;
    expect(bars(bar)).toEqual(['| G |']);
  });

  test('tablature under the notes of the part with the chords is its lead line', () => {
    const tab = note(2, '<string>3</string><fret>2</fret>');
    const bar = `${START}${harmony('G')}${note(1)}<backup><duration>16</duration></backup>${tab}`;
    const { chart, warnings } = opened(bar);
    expect(rowsOf(chart, /^part/)).toEqual(['part Guitar: | 1 3/2 |']);
    expect(warnings).toEqual([]);
  });

  test('a score by bars is read as one by parts', () => {
    const { chart, warnings } = unwrap(
      readMusicXml(
        `<score-timewise><part-list/><measure number="1"><part id="P1">${START}${harmony('G')}${rest(16)}</part></measure><measure number="2"><part id="P1">${harmony('D')}${rest(16)}</part></measure></score-timewise>`,
      ),
    );
    expect(rowsOf(chart, /^\|/)).toEqual(['| G | D |']);
    expect(warnings).toEqual([]);
  });
});
