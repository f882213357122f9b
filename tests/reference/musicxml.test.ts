// MusicXML against readers and writers that are not ours. Sources:
// - npm @stringsync/musicxml 0.3.0, built from the W3C MusicXML 4.0 specification: what does not conform
//   is replaced when it reads, so a file that it prints unchanged conforms in elements, order and values;
// - npm musicxml-io 0.9.6, an independent reader, writer and follower of repeats;
// - musicxml2ly of Debian's `lilypond` package, where it is installed.
import { execFileSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { MusicXML } from '@stringsync/musicxml';
import fc from 'fast-check';
import * as io from 'musicxml-io';
import { describe, expect, test } from 'vitest';
import { demoCharts } from '../../app/services/machine/demo-charts.ts';
import { unrollForm } from '../../app/core/chart/form/form.ts';
import type { Chart, ChartBody } from '../../app/core/model/chart.ts';
import { parseChart } from '../../app/core/chart/notation/parse.ts';
import { printChart } from '../../app/core/chart/notation/print.ts';
import { readMusicXml } from '../../app/core/exchange/musicxml/read/read.ts';
import { sheetOf } from '../../app/core/exchange/musicxml/sheet.ts';
import { writeMusicXml } from '../../app/core/exchange/musicxml/write/write.ts';
import { QUALITIES } from '../../app/core/harmony/vocabulary.ts';
import { readChord, splitSymbol } from '../../app/core/harmony/read.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { runs } from '../support/runs.ts';
import { plainCharts as charts } from '../unit/chart/plain-charts.ts';
import { needs } from '../support/needs.ts';

const demos = demoCharts().slice(3);
const fileOf = (chart: ChartBody): string => unwrap(writeMusicXml(chart));
const demoFiles = demos.map((demo): [title: string, demo: Chart, file: string] => [
  demo.title,
  demo,
  fileOf(demo),
]);

/** Both print an element a line; only indents and the two ways to write an empty element may differ. */
const leadPartsOf = (xml: string): string[] =>
  xml
    .replace(/<([\w-]+)([^>]*)><\/\1>/g, '<$1$2/>')
    .split('\n')
    .map((line) => line.trim())
    .filter((line) => line !== '');

describe('what is written conforms to MusicXML 4.0', () => {
  const conforming = (xml: string): string[] => leadPartsOf(MusicXML.parse(xml).serialize());

  test.each(demoFiles)('%s', (_, _demo, file) => {
    expect(conforming(file)).toEqual(leadPartsOf(file));
  });

  test('any chart', () => {
    fc.assert(
      fc.property(charts, (chart) => {
        const file = fileOf(chart);
        expect(conforming(file)).toEqual(leadPartsOf(file));
      }),
      { numRuns: runs(5, 200), endOnFailure: true },
    );
  });

  test('the check can fail: an element out of order is noticed', () => {
    const file = fileOf(unwrap(parseChart('title: T\ntempo: 100\nkey: G\n[A]\n| G | D |\n')));
    const wrong = file.replace(/(<divisions>24<\/divisions>)([\s\S]*?<\/key>)/, '$2$1');
    expect(wrong).not.toBe(file);
    expect(conforming(wrong)).not.toEqual(leadPartsOf(wrong));
  });
});

describe('musicxml-io reads what is written', () => {
  test.each(demoFiles)('%s: valid, with title and meters', (_, demo, file) => {
    const score = io.parse(file);
    expect(io.validate(score).errors).toEqual([]);
    expect(score.metadata?.workTitle).toBe(demo.title);
    const sheet = unwrap(sheetOf(demo));
    const changes = sheet.bars.filter(
      (bar, i) => bar.meter.numerator !== sheet.bars[i - 1]?.meter.numerator,
    );
    const times = io.getTimeChanges(score, { partIndex: 0 });
    expect(times.map(({ time }) => `${time.beats}/${time.beatType}`)).toEqual(
      changes.map(({ meter }) => `${meter.numerator}/${meter.unit}`),
    );
  });

  test.each(demoFiles)('%s: following its repeats gives the bars that we play', (_, demo, file) => {
    const score = io.parse(file);
    const measures = score.parts[0]!.measures;
    const followed = io
      .generatePlaybackSequence(score)
      .map(({ measureIndex }) => symbolsIn(measures[measureIndex]!));
    const ours = unwrap(unrollForm(demo)).flatMap(({ bars }) =>
      bars.map(({ chords }) => chords.map(({ symbol }) => symbol)),
    );
    expect(followed).toEqual(ours);
  });

  test('endings for three times through', () => {
    const text = 'title: T\ntempo: 100\n[A]\n| B |: G |1,2. C :|3. D | E |\n[B]\n| F | A :| x3\n';
    const score = io.parse(fileOf(unwrap(parseChart(text))));
    const measures = score.parts[0]!.measures;
    const order = io
      .generatePlaybackSequence(score)
      .map(({ measureIndex }) => symbolsIn(measures[measureIndex]!)[0])
      .join(' ');
    expect(order).toBe('B G C G C G D E F A F A F A');
  });

  test('a repeat behind the last ending', () => {
    const text = 'title: T\ntempo: 100\n[A]\n|: G |1. C :|2. D | E |: F | A :|\n';
    const file = fileOf(unwrap(parseChart(text)));
    expect(file.match(/<ending [^/>]*\btype="\w+"/g)?.map((it) => it.slice(8))).toEqual([
      'number="1" type="start"',
      'number="1" type="stop"',
      'number="2" type="start"',
      'number="2" type="discontinue"',
    ]);
    const score = io.parse(file);
    const measures = score.parts[0]!.measures;
    const order = io
      .generatePlaybackSequence(score)
      .map(({ measureIndex }) => symbolsIn(measures[measureIndex]!)[0])
      .join(' ');
    expect(order).toBe('G C G D E F A F A');
  });

  test('tempo marks and the tempo in quarters', () => {
    const score = io.parse(demoFiles[0]![2]);
    const marks = io.getTempoMarkings(score);
    expect(marks.map((mark) => [mark.beatUnit, mark.perMinute])).toEqual([
      ['quarter', 54],
      ['quarter', 60],
      ['quarter', 54],
    ]);
    expect(demoFiles[0]![2].match(/tempo="[\d.]+"/g)).toEqual([
      'tempo="81"',
      'tempo="90"',
      'tempo="81"',
    ]);
  });

  test('a pinned barre shape as a diagram from its first fret', () => {
    const harmonies = io.getHarmonies(io.parse(demoFiles[2]![2])).map(({ harmony }) => harmony);
    expect(harmonies.find(({ root }) => root.rootStep === 'G')!.frame).toMatchObject({
      frameStrings: 6,
      firstFret: 3,
      frameNotes: [
        { string: 6, fret: 3 },
        { string: 5, fret: 5 },
        { string: 4, fret: 5 },
        { string: 3, fret: 4 },
        { string: 2, fret: 3 },
        { string: 1, fret: 3 },
      ],
    });
  });
});

test('musicxml-io finds bowing marks, accents and heads where strokes are', () => {
  const text = 'title: T\ntempo: 100\n[A]\nstrum: eighths D- D>U -Ux rU\n| G |\n';
  const notes = io
    .parse(fileOf(unwrap(parseChart(text))))
    .parts[0]!.measures[0]!.entries.filter((entry) => entry.type === 'note');
  const signs = notes.map(({ rest, notehead, notations }) => [
    rest ? 'rest' : notehead?.value,
    ...(notations ?? []).flatMap((n) =>
      n.type === 'technical' ? [n.technical] : n.type === 'articulation' ? [n.articulation] : [],
    ),
  ]);
  expect(signs).toEqual([
    ['slash', 'down-bow'],
    ['slash', 'down-bow', 'accent'],
    ['slash', 'up-bow'],
    ['slash'],
    ['x', 'up-bow'],
    ['rest'],
    ['slash', 'up-bow'],
  ]);
  expect(io.validate(io.parse(fileOf(unwrap(parseChart(text))))).errors).toEqual([]);
});

describe('lead lines as tablature', () => {
  const TEXT = `title: T
tempo: 100
[Verse]
| G | C |
line: Hook, bar 1
part Guitar 1: | 8 3/5 h7 p5 /9 4 3/7b1r 2/x | 2 3/g5h7~ - |
`;
  const file = fileOf(unwrap(parseChart(TEXT)));
  const notes = io
    .parse(file)
    .parts[1]!.measures.flatMap((measure) => measure.entries.filter((e) => e.type === 'note'));
  test('conforms', () => {
    expect(leadPartsOf(MusicXML.parse(file).serialize())).toEqual(leadPartsOf(file));
  });

  // Sounding pitches by equal temperament: string 3 is G3 = 55, string 2 is B3 = 59 (FACTS: chords-db).
  test('pitches of strings and frets', () => {
    const steps: Record<string, number> = { C: 0, D: 2, E: 4, F: 5, G: 7, A: 9, B: 11 };
    const midi = notes.map(({ pitch }) =>
      pitch ? 12 * (pitch.octave + 1) + steps[pitch.step]! + (pitch.alter ?? 0) : undefined,
    );
    expect(midi).toEqual([60, 62, 60, 64, 62, 59, 60, 62, 62]);
  });

  test('a bend with its release is two bends, the second downward (W3C MusicXML 4.0, bend)', () => {
    expect(file.match(/<bend>[\s\S]*?<\/bend>/g)!.map((bend) => bend.replace(/\s/g, ''))).toEqual([
      '<bend><bend-alter>2</bend-alter></bend>',
      '<bend><bend-alter>-2</bend-alter><release/></bend>',
    ]);
  });

  test('musicxml-io finds what joins the notes, and where', () => {
    expect(notes.map(({ notations }) => (notations ?? []).flatMap(joints))).toEqual([
      ['hammer-on start'],
      ['hammer-on stop', 'pull-off start'],
      ['slide start', 'pull-off stop'],
      ['slide stop'],
      [],
      [],
      ['hammer-on start'],
      ['tied start', 'hammer-on stop'],
      ['tied stop'],
    ]);
    expect(notes.map((note) => note.grace !== undefined).indexOf(true)).toBe(6);
  });
});

type Notation = NonNullable<io.NoteEntry['notations']>[number];

function joints(notation: Notation): string[] {
  if (notation.type === 'slide') return [`slide ${notation.slideType}`];
  if (notation.type === 'tied') return [`tied ${notation.tiedType}`];
  const joins = notation.type === 'technical' && 'startStop' in notation && notation.startStop;
  return joins ? [`${notation.technical} ${notation.startStop}`] : [];
}

type Measure = io.Score['parts'][number]['measures'][number];

/** Symbols as the file spells them: root, kind's text, bass. */
function symbolsIn(measure: Measure): string[] {
  return measure.entries.flatMap((entry) => {
    if (entry.type !== 'harmony') return [];
    if (entry.kind === 'none') return [entry.kindText ?? ''];
    const sign = (alter = 0): string => (alter > 0 ? '#'.repeat(alter) : 'b'.repeat(-alter));
    const bass = entry.bass ? `/${entry.bass.bassStep}${sign(entry.bass.bassAlter)}` : '';
    return [`${entry.root.rootStep}${sign(entry.root.rootAlter)}${entry.kindText ?? ''}${bass}`];
  });
}

describe('files that musicxml-io wrote are read here', () => {
  test.each(demoFiles)('%s, read and written by it', (_, demo, file) => {
    const theirs = io.serialize(io.parse(file));
    expect(theirs).not.toBe(file);
    const [again, straight] = [theirs, file].map((xml) => unwrap(readMusicXml(xml)).chart);
    expect(printChart(again!)).toBe(printChart(straight!));
    expect(again!.title).toBe(demo.title);
  });

  test('a score that it composed from nothing', () => {
    const chart = unwrap(readMusicXml(io.serialize(composed()))).chart;
    expect(printChart(chart).split('\n')).toEqual([
      'title: Untitled',
      'tempo: ♩. = 66',
      'meter: 6/8',
      '',
      '[A]',
      '|: D Gm7 |1. A7/C# :|2. D |',
      '',
      '[B]',
      '| Bb |',
      '',
      'form:',
      'A',
      'B',
      '',
    ]);
  });
});

/** Four bars of 6/8 with chords, marks, a repeat with endings, and a tempo, all through its own operations. */
function composed(): io.Score {
  const blank = `<score-partwise version="4.0"><part-list><score-part id="P1"><part-name>G</part-name></score-part></part-list><part id="P1">${[
    1, 2, 3, 4,
  ]
    .map(
      (n) =>
        `<measure number="${n}">${n === 1 ? '<attributes><divisions>2</divisions><time><beats>6</beats><beat-type>8</beat-type></time></attributes>' : ''}${'<note><rest/><duration>3</duration><voice>1</voice></note>'.repeat(2)}</measure>`,
    )
    .join('')}</part></score-partwise>`;
  let score = io.parse(blank);
  const apply = (result: { success: boolean; data?: io.Score }): void => {
    if (!result.success || !result.data) throw new Error(JSON.stringify(result));
    score = result.data;
  };
  const at = (measureIndex: number, position = 0) => ({ partIndex: 0, measureIndex, position });
  apply(io.addHarmony(score, { ...at(0), root: { step: 'D' }, kind: 'major' }));
  apply(io.addHarmony(score, { ...at(0, 3), root: { step: 'G' }, kind: 'minor-seventh' }));
  const bass = { step: 'C', alter: 1 };
  apply(io.addHarmony(score, { ...at(1), root: { step: 'A' }, kind: 'dominant', bass }));
  apply(io.addHarmony(score, { ...at(2), root: { step: 'D' }, kind: 'major' }));
  apply(io.addHarmony(score, { ...at(3), root: { step: 'B', alter: -1 }, kind: 'major' }));
  apply(io.addRehearsalMark(score, { partIndex: 0, measureIndex: 0, text: 'A' }));
  apply(io.addRehearsalMark(score, { partIndex: 0, measureIndex: 3, text: 'B' }));
  apply(io.addTempo(score, { ...at(0), bpm: 66, beatUnit: 'quarter', beatUnitDot: true }));
  apply(io.addRepeatBarline(score, { partIndex: 0, measureIndex: 0, direction: 'forward' }));
  apply(io.addRepeatBarline(score, { partIndex: 0, measureIndex: 1, direction: 'backward' }));
  apply(io.addEnding(score, { partIndex: 0, measureIndex: 1, number: '1', type: 'start' }));
  apply(io.addEnding(score, { partIndex: 0, measureIndex: 1, number: '1', type: 'stop' }));
  apply(io.addEnding(score, { partIndex: 0, measureIndex: 2, number: '2', type: 'start' }));
  return score;
}

describe('every quality of the chord library', () => {
  const symbols = QUALITIES.map(({ name }) => `C${name}`);
  const chartOf = (symbol: string): ChartBody =>
    unwrap(parseChart(`title: T\ntempo: 100\n[A]\n| ${symbol} |`));

  test.each(symbols)('%s comes back from kind and degrees alone', (symbol) => {
    const withoutText = fileOf(chartOf(symbol)).replace(/(<kind) text="[^"]*"/g, '$1');
    const { chart, warnings } = unwrap(readMusicXml(withoutText));
    expect(warnings).toEqual([]);
    expect(soundOf(firstSymbol(chart))).toEqual(soundOf(symbol));
  });

  test.each(symbols)('%s comes back to the letter with its text', (symbol) => {
    expect(firstSymbol(unwrap(readMusicXml(fileOf(chartOf(symbol)))).chart)).toBe(symbol);
  });
});

function firstSymbol(chart: ChartBody): string {
  const { content } = chart.sections[0]!.bars[0]!;
  return content.kind === 'chords' ? content.chords[0]!.symbol : '%';
}

/** Pitch classes of a chord by the library, which our symbols are read with. */
const soundOf = (symbol: string): readonly number[] => {
  const chord = unwrap(readChord(symbol));
  return chord.kind === 'silence' ? [] : chord.pitchClasses;
};

describe('musicxml2ly reads what is written', () => {
  const converter = '/usr/bin/musicxml2ly';

  /** LilyPond's names for the chords of the demo charts (LilyPond 2.24, Notation Reference, chord mode). */
  const MODIFIERS: Record<string, string> = {
    '': '5',
    m: 'm5',
    '7': '7',
    m7: 'm7',
    maj7: 'maj7',
    '6': '6',
    m6: 'm6',
    '7#5': 'aug7',
  };

  const lilyNote = (note: string): string =>
    (note[0]!.toLowerCase() + note.slice(1).replaceAll('#', 'is').replaceAll('b', 'es')).replace(
      /^([ae])es/,
      '$1s',
    );

  function lilyChord(symbol: string): string {
    const { root, suffix, bass } = splitSymbol(symbol)!;
    return `${lilyNote(root)}:${MODIFIERS[suffix]!}${bass ? `/+${lilyNote(bass)}` : ''}`;
  }

  function convert(file: string): string {
    const folder = mkdtempSync(join(tmpdir(), 'rungwise-musicxml-'));
    try {
      writeFileSync(join(folder, 'in.musicxml'), file);
      execFileSync(converter, ['-o', 'out.ly', 'in.musicxml'], { cwd: folder, stdio: 'ignore' });
      return readFileSync(join(folder, 'out.ly'), 'utf8');
    } finally {
      rmSync(folder, { recursive: true });
    }
  }

  const needsConverter = needs(
    existsSync(converter),
    'musicxml2ly (lilypond) is not installed here',
  );
  test.each(demoFiles)('%s: every chord in order', needsConverter, (_, demo, file) => {
    const chords = /\\chordmode \{[\s\S]*?\n\n/.exec(convert(file))![0];
    const read = [...chords.matchAll(/(?<=\s)([a-g](?:is|es|s)?)\d+\.*:(\S+)/g)];
    const symbols = unwrap(sheetOf(demo)).bars.flatMap((bar) => bar.chords.map((c) => c.symbol));
    expect(read.map(([, note, kind]) => `${note}:${kind}`)).toEqual(
      symbols.filter((symbol) => symbol !== 'N.C.').map(lilyChord),
    );
  });
});
