// Charts out to MusicXML and back: what is played stays the same, and sections and form are found again.
import fc from 'fast-check';
import { describe, expect, test } from 'vitest';
import { demoCharts } from '../../../../app/services/machine/demo-charts.ts';
import { playForm } from '../../../../app/core/units/bars/played-bars.ts';
import { demoNamed } from '../../../support/demo.ts';
import { runs } from '../../../support/runs.ts';
import { meterOf } from '../../../../app/core/rhythm/meter.ts';
import type { ChartBody, Meter } from '../../../../app/core/model/chart.ts';
import { parseChart } from '../../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../../app/core/chart/notation/print.ts';
import { strikes } from '../../../../app/core/exchange/musicxml/strum-halves.ts';
import { readMusicXml } from '../../../../app/core/exchange/musicxml/read/read.ts';
import { writeMusicXml } from '../../../../app/core/exchange/musicxml/write/write.ts';
import { toAscii } from '../../../../app/core/harmony/notes.ts';
import { unwrap } from '../../../../app/core/base/result.ts';
import { plainCharts as charts } from '../../chart/plain-charts.ts';

const typed = (text: string): ChartBody => unwrap(parseChart(`title: Test\n${text}`));
const roundTrip = (chart: ChartBody): ChartBody =>
  unwrap(readMusicXml(unwrap(writeMusicXml(chart)))).chart;

/** What a score cannot say: F♯ apart from F#, and that four quarters are one group. */
const meterInScore = (meter: Meter): Meter =>
  meter.grouping.length > 1 ? meter : meterOf(meter.numerator, meter.unit);

/**
 * What is heard, bar by bar; numbers of bars and times may differ where a section was found twice. What the chart
 * says of the band stays behind: a score has parts, not words for a band that is made up; so does what a section is
 * in the song.
 */
const heard = (chart: ChartBody) =>
  unwrap(playForm(chart)).map(
    ({
      bar: _bar,
      time: _time,
      section: _section,
      band: _band,
      number: _number,
      role: _role,
      meter,
      held,
      chords,
      strum,
      ...rest
    }) => ({
      ...rest,
      // A bar without a stroke cannot have that as a pattern of its own: it is then played as one without a strum.
      strum: strum && strikes(strum) ? strum : undefined,
      meter: meterInScore(meter),
      held: held && toAscii(held.symbol),
      chords: chords.map(({ chord, ...at }) => ({ ...at, symbol: toAscii(chord.symbol) })),
    }),
  );

describe('out and in', () => {
  test('any chart is played the same after the trip', () => {
    fc.assert(
      fc.property(charts, (chart) => {
        const before = heard(chart);
        fc.pre(before.some(({ chords }) => chords.length > 0));
        expect(heard(roundTrip(chart))).toEqual(before);
      }),
      { numRuns: runs(12, 1_000), endOnFailure: true },
    );
  });

  test('a chart that comes back is then the same to the letter', () => {
    for (const demo of demoCharts()) {
      const once = roundTrip(demo);
      expect(printChart(roundTrip(once))).toBe(printChart(once));
    }
  });

  test('the swung demo chart comes back to the letter at once', () => {
    const demo = demoNamed('paper-streetcar');
    expect(printChart(roundTrip(demo))).toBe(printChart(demo));
  });

  test('title, key, capo, tuning and shapes of the whole chart', () => {
    const chart = typed(
      'key: E minor\ntempo: h. = 60\nmeter: 3/2\ncapo: 3\ntuning: drop D\nshape Em = 022000\n[A]\n| Em | G[320003] |',
    );
    expect(roundTrip(chart)).toEqual(chart);
  });
});

describe('the form is found in the sheet', () => {
  const formOf = (text: string): unknown[] =>
    roundTrip(typed(text)).form.map(({ section, times, ending }) => [section, times, ending?.kind]);

  test('times in a row, altered and added endings', () => {
    const text = `tempo: 100
[Verse]
| G | D | Em | C |
[Bridge]
| Am | % | D |
form: Verse x3 ending | A7 | D |
Bridge, Verse added | G |
Bridge`;
    expect(formOf(text)).toEqual([
      ['Verse', 3, 'replace'],
      ['Bridge', 1, undefined],
      ['Verse', 1, 'add'],
      ['Bridge', 1, undefined],
    ]);
  });

  test('an ending altered inside a repeat is written out, and found again', () => {
    const text =
      'tempo: 100\n[Verse]\n|: G | D :|\n[Out]\n| G |\nform: Verse, Verse ending | C |\nOut';
    expect(formOf(text)).toEqual([
      ['Verse', 2, 'replace'],
      ['Out', 1, undefined],
    ]);
  });
});

/** A score as another program might write it: `bars` are measures' contents. */
const score = (...bars: string[]): string =>
  `<?xml version="1.0"?>
<!DOCTYPE score-partwise PUBLIC "-//Recordare//DTD MusicXML 3.1 Partwise//EN" "http://www.musicxml.org/dtds/partwise.dtd">
<score-partwise version="3.1"><movement-title>Found</movement-title><part-list><score-part id="P1"><part-name>Lead</part-name></score-part></part-list>
<part id="P1">${bars.map((bar, i) => `<measure number="${i + 1}">${bar}</measure>`).join('\n')}</part></score-partwise>`;

const HEAD =
  '<attributes><divisions>2</divisions><time><beats>4</beats><beat-type>4</beat-type></time></attributes><sound tempo="90"/>';
const chord = (step: string, kind = 'major', more = ''): string =>
  `<harmony><root><root-step>${step}</root-step></root><kind>${kind}</kind>${more}</harmony>`;
const rest = (duration: number): string => `<note><rest/><duration>${duration}</duration></note>`;

const opened = (...bars: string[]) => unwrap(readMusicXml(score(...bars)));
const lines = (...bars: string[]): string[] =>
  printChart(opened(...bars).chart)
    .split('\n')
    .filter((line) => line.startsWith('|'));
const warned = (...bars: string[]): string[] => opened(...bars).warnings.map(({ code }) => code);

describe('scores of other programs', () => {
  test('chords between notes, by offset, and after a backup', () => {
    const bar = `${HEAD}${chord('G')}${rest(4)}${chord('D', 'minor', '<offset>1</offset>')}${rest(4)}<backup><duration>2</duration></backup>${chord('A', 'dominant')}`;
    expect(lines(bar)).toEqual(['| G / (/ Dm) A7 |']);
    expect(opened(bar).chart).toMatchObject({
      title: 'Found',
      tempo: { bpm: 90, beat: 'quarter' },
    });
  });

  test.each([
    [
      'degrees without a text',
      chord(
        'C',
        'dominant',
        '<degree><degree-value>9</degree-value><degree-alter>1</degree-alter><degree-type>add</degree-type></degree>',
      ),
      'C7(#9)',
    ],
    [
      'an altered fifth',
      chord(
        'C',
        'minor-seventh',
        '<degree><degree-value>5</degree-value><degree-alter>-1</degree-alter><degree-type>alter</degree-type></degree>',
      ),
      'Cm7(b5)',
    ],
    [
      'an added ninth',
      chord(
        'C',
        'major',
        '<degree><degree-value>9</degree-value><degree-alter>0</degree-alter><degree-type>add</degree-type></degree>',
      ),
      'Cadd9',
    ],
    [
      'a bass',
      chord('C', 'major', '<bass><bass-step>B</bass-step><bass-alter>-1</bass-alter></bass>'),
      'C/Bb',
    ],
    [
      'no chord',
      '<harmony><root><root-step>C</root-step></root><kind text="N.C.">none</kind></harmony>',
      'N.C.',
    ],
  ])('%s', (_, harmony, symbol) => {
    expect(lines(HEAD + harmony + rest(8))).toEqual([`| ${symbol} |`]);
  });

  test('a misleading text is not believed', () => {
    const harmony =
      '<harmony><root><root-step>C</root-step></root><kind text="maj7">minor</kind></harmony>';
    expect(lines(HEAD + harmony + rest(8))).toEqual(['| Cm |']);
  });

  test('a short first bar is a pickup, a short later one has a meter of its own', () => {
    expect(
      lines(
        `${HEAD}${chord('D')}${rest(2)}`,
        chord('G') + rest(8),
        chord('C') + rest(4),
        chord('D') + rest(8),
      ),
    ).toEqual(['| pickup 1/4 D | G | 2/4 C | 4/4 D |']);
    expect(
      warned(`${HEAD}${chord('D')}${rest(2)}`, chord('G') + rest(8), chord('C') + rest(4)),
    ).toEqual(['musicxml-length']);
  });

  test('repeats across sections are followed by writing them out', () => {
    const heading = (text: string): string =>
      `<direction><direction-type><rehearsal>${text}</rehearsal></direction-type></direction>`;
    const back = '<barline location="right"><repeat direction="backward"/></barline>';
    const chart = opened(
      `${HEAD}${heading('A')}${chord('G')}${rest(8)}`,
      `${heading('B')}${chord('D')}${rest(8)}${back}`,
      `${heading('C')}${chord('E')}${rest(8)}`,
    ).chart;
    expect(chart.form).toEqual([
      { section: 'A', times: 1 },
      { section: 'B', times: 1 },
      { section: 'A', times: 1 },
      { section: 'B', times: 1 },
      { section: 'C', times: 1 },
    ]);
  });

  test('a tempo change without a heading starts a part of its own', () => {
    const chart = opened(
      HEAD + chord('G') + rest(8),
      `<sound tempo="60"/>${chord('D')}${rest(8)}`,
    ).chart;
    expect(chart.sections.map(({ name, tempo }) => [name, tempo?.bpm])).toEqual([
      ['Song', undefined],
      ['Song part 2', 60],
    ]);
  });

  test('headings that a chart cannot use as names', () => {
    const heading =
      '<direction><direction-type><rehearsal>[A]: Verse | x2</rehearsal></direction-type></direction>';
    expect(opened(HEAD + heading + chord('G') + rest(8)).chart.sections[0]!.name).toBe('A Verse');
  });

  test.each([
    ['no tempo', HEAD.replace(/<sound.*/, ''), 'musicxml-tempo'],
    [
      'a tempo out of range',
      `${HEAD}<sound tempo="4000"/><direction><direction-type><metronome><beat-unit>quarter</beat-unit><per-minute>900</per-minute></metronome></direction-type></direction>`,
      'musicxml-tempo-range',
    ],
    ['a jump to nowhere', `${HEAD}<sound dalsegno="a"/>`, 'musicxml-jump'],
    ['no meter', `${HEAD}<attributes><time><senza-misura/></time></attributes>`, 'musicxml-meter'],
    ['an unknown kind', `${HEAD}${chord('C', 'Neapolitan')}`, 'musicxml-chord-part'],
    [
      'a function for a root',
      `${HEAD}<harmony><function>II</function><kind>minor</kind></harmony>`,
      'musicxml-chord',
    ],
    [
      'an ending without a number',
      `${HEAD}<barline location="left"><ending number="" type="start"/></barline>`,
      'musicxml-ending',
    ],
    [
      'a chord at no part of a beat',
      `${HEAD}<attributes><divisions>101</divisions></attributes>${rest(7)}${chord('D')}${rest(397)}`,
      'musicxml-moment',
    ],
  ])('%s is taken with a warning', (_, bar, code) => {
    const body = bar.includes('<note>') ? bar : `${bar}${chord('G')}${rest(8)}`;
    expect(warned(body)).toContain(code);
  });

  test('of several parts the one with chords is read', () => {
    const text = score(HEAD + rest(8)).replace(
      '</score-partwise>',
      `<part id="P2"><measure number="1">${HEAD}${chord('G')}${rest(8)}</measure></part></score-partwise>`,
    );
    const { chart, warnings } = unwrap(readMusicXml(text));
    expect(chart.sections[0]!.bars).toHaveLength(1);
    expect(warnings[0]!.message).toBe(
      'the score has 2 parts; chords are read from part 2, which has most of them',
    );
  });
});

describe('lead lines', () => {
  const TECHNIQUES = `tempo: 100
capo: 2
[Verse]
| G | C | 6/8 D | 4/4 G |
line: Hook, bar 2
part Guitar 1: | 8 3/5 h7 p5 4/7 8t 3/5^ /7 \\5 4 2/x | 8. 3/7b1r 16 - 8 - 4. r | 4 3/g5h7~ 2/8b.5 2 1/5+2/5+3/5b1.5 |
part Guitar 2: | 1 4/5 | 2. r | 1 4/g7p5 |
line: Close, bar 4
part Guitar 1: | 1 1/3 |
`;

  test('techniques, ties, graces, triplets and both parts come back to the letter', () => {
    const chart = typed(TECHNIQUES);
    const { chart: again, warnings } = unwrap(readMusicXml(unwrap(writeMusicXml(chart))));
    expect(warnings).toEqual([]);
    expect(again.sections[0]!.leads).toEqual(chart.sections[0]!.leads);
    expect(printChart(again)).toBe(printChart(chart));
  });

  test('a derived part comes back as the notes that it plays', () => {
    const chart = typed(
      'key: G\ntempo: 100\n[A]\n| G |\nline: Hook, bar 1\npart One: | 4 3/5 3/7 3/9 r |\npart Two: One, octave up\n',
    );
    const [, two] = roundTrip(chart).sections[0]!.leads![0]!.parts;
    expect(two).toMatchObject({ kind: 'written', name: 'Two' });
    expect(heard(roundTrip(chart))).toEqual(heard(chart));
  });

  test('a line in each time through its section is found once', () => {
    const chart = typed(
      'tempo: 100\n[A]\n|: G | D :|\nline: Hook, bar 2\npart One: | 1 3/5 |\nform: A x2 ending | C |',
    );
    expect(printChart(roundTrip(chart))).toBe(printChart(chart));
  });

  const tab = (...notes: string[]): string =>
    score(HEAD + chord('G') + rest(8)).replace(
      '</score-partwise>',
      `<part id="P2"><measure number="1"><attributes><divisions>2</divisions></attributes>${notes.join('')}</measure></part></score-partwise>`,
    );
  const note = (
    string: number,
    fret: number,
    duration: number,
    more = '',
    technical = '',
  ): string =>
    `<note><pitch><step>A</step><octave>3</octave></pitch><duration>${duration}</duration>${more}<notations><technical><string>${string}</string><fret>${fret}</fret>${technical}</technical></notations></note>`;

  test.each([
    ['durations without types', tab(note(3, 2, 4), note(3, 4, 4)), '| 2 3/2 3/4 |'],
    [
      'chords',
      tab(note(3, 2, 8), note(2, 3, 8).replace('<note>', '<note><chord/>')),
      '| 1 3/2+2/3 |',
    ],
    [
      'another voice after a backup',
      tab(note(3, 2, 8), '<backup><duration>8</duration></backup>', note(5, 0, 8)),
      '| 1 3/2 |',
    ],
    ['gaps', tab(note(3, 2, 2), '<forward><duration>6</duration></forward>'), '| 4 3/2 2. r |'],
  ])('%s of other programs', (_, file, line) => {
    const printed = printChart(unwrap(readMusicXml(file)).chart);
    expect(printed).toContain('line: Line 2, bar 1');
    expect(printed).toContain(`part Guitar: ${line}`);
  });

  test.each([
    [
      'a note without a fret',
      tab(note(3, 2, 4), note(3, 2, 4).replace(/<notations>.*<\/notations>/, '')),
    ],
    ['a bar that does not add up', tab(note(3, 2, 4))],
    [
      'five in the time of four',
      tab(
        '<attributes><divisions>5</divisions></attributes>',
        ...Array.from({ length: 5 }, () => note(3, 2, 4)),
      ),
    ],
  ])('%s leaves the bar out, with a warning', (_, file) => {
    const { chart, warnings } = unwrap(readMusicXml(file));
    expect(warnings.map(({ code }) => code)).toEqual(['musicxml-lead']);
    expect(chart.sections[0]!.leads).toBeUndefined();
  });

  test('a technique that no hand can play leaves the line out, and the chords stay', () => {
    const file = tab(note(3, 7, 4), note(3, 9, 4, '', '<pull-off type="stop"/>'));
    const { chart, warnings } = unwrap(readMusicXml(file));
    expect(warnings.map(({ code }) => code)).toEqual(['lead-reach']);
    expect(printChart(chart)).toContain('| G |');
  });
});
