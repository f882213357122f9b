// `npm run judge`: a table, JSON, and a sentence with exit code 1 for what it can't do; run as anyone would, and asked.
import { spawnSync } from 'node:child_process';
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import type { Chart } from '../../app/core/model/chart.ts';
import { writeChartText } from '../../app/core/chart/notation/chart-text.ts';
import { printChart } from '../../app/core/chart/notation/print.ts';
import { writeSmf } from '../../app/core/exchange/midi/write.ts';
import { practiceTrack } from '../../app/core/exchange/practice-track.ts';
import { writeMxl } from '../../app/core/exchange/musicxml/write/mxl.ts';
import { writeMusicXml } from '../../app/core/exchange/musicxml/write/write.ts';
import { writeChartFile } from '../support/chart-file.ts';
import { demoNamed } from '../support/demo.ts';
import { resolveUnit } from '../../app/core/units/resolve.ts';
import { toPcm16, wavHeader } from '../../app/core/exchange/wave/riff.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { mixGuitar } from '../../app/core/sound/guitar.ts';
import { plucksAt } from '../support/plucks.ts';
import { strumNotes } from '../../app/core/sound/strum-notes.ts';
import { unitVoicings } from '../../app/core/units/hands/hands.ts';
import { BARE_LAP } from '../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../app/core/timeline/lap.ts';
import { answerTo } from '../../app/judge-command.ts';

const PROGRAM = fileURLToPath(new URL('../../app/judge.ts', import.meta.url));
const folder = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-judge-'));
const at = (name: string): string => path.join(folder, name);
const chart = demoNamed('paper-streetcar');
const TEMPO = 100;

type Options = Readonly<Record<string, string | true>>;

function typed(options: Options): string[] {
  const all: Options = {
    chart: at('chart.json'),
    unit: 'Intro',
    tempo: String(TEMPO),
    take: at('take.wav'),
    ...options,
  };
  return Object.entries(all).flatMap(([name, value]) =>
    value === true ? [`--${name}`] : [`--${name}`, value],
  );
}

/** As anyone would run it. */
function run(options: Options) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [PROGRAM, ...typed(options)], {
    encoding: 'utf8',
  });
  return { status, stdout, stderr };
}

const judge = (options: Options) => answerTo(typed(options));

/** The model guitar plays a section of a chart from half a second on. */
function writeTake(chart: Chart, section: string, file: string): void {
  const unit = unwrap(resolveUnit(chart, { kind: 'section', section }));
  const lap = buildLap(unit, TEMPO, BARE_LAP);
  const guitar = new Float32Array(Math.ceil((lap.end + 1) * 44_100));
  mixGuitar(guitar, 0, strumNotes(lap, unit, unitVoicings(unit, chart.shapes)), plucksAt(44_100));
  const sound = new Float32Array(guitar.length + 22_050);
  sound.set(guitar, 22_050);
  fs.writeFileSync(file, Buffer.concat([wavHeader(sound.length, 44_100), toPcm16(sound)]));
}

beforeAll(() => {
  fs.writeFileSync(at('chart.json'), writeChartFile(chart));
  writeTake(chart, 'Intro', at('take.wav'));
  fs.writeFileSync(at('text.wav'), 'this is no sound');
});
afterAll(() => fs.rmSync(folder, { recursive: true }));

describe('npm run judge', () => {
  it('prints a table with the verdict', () => {
    const { status, stdout, stderr } = run({ start: '0.5' });
    expect([status, stderr]).toEqual([0, '']);
    expect(stdout).toMatch(
      /^Intro at 100 bpm\nbar 1 +to F6 +[+-]?\d+ ms (tight|together) +right and in time/,
    );
    expect(stdout).toMatch(/Verdict: clean\. 5 of 5 changes right, 0 could not be told\./);
    expect(stdout).toBe(`${judge({ start: '0.5' }).text}\n`);
  });

  it('prints JSON, and finds the start by itself', () => {
    const { judged, text } = judge({ json: true });
    expect(judged).toBe(true);
    const answer = JSON.parse(text) as Record<string, unknown>;
    expect(answer).toMatchObject({ unit: 'Intro', verdict: 'clean', relative: true, held: 5 });
    expect(Math.abs((answer['start'] as number) - 0.5)).toBeLessThan(0.02);
  });

  it.each([0, 2, 5])('reads a typed chart and minds its capo at fret %i', (capo) => {
    const typed = `\uFEFF${printChart({ ...chart, capo })}`;
    fs.writeFileSync(at('chart.txt'), typed);
    writeTake({ ...chart, capo }, 'Intro', at('capo.wav'));
    const { judged, text } = judge({
      chart: at('chart.txt'),
      take: at('capo.wav'),
      start: '0.5',
      json: true,
    });
    expect(judged).toBe(true);
    const answer = JSON.parse(text) as Record<string, unknown>;
    expect(answer).toMatchObject({ verdict: 'clean', remarks: [] });
  });

  it.each([
    ['as it is kept, with its id', () => writeChartText(chart)],
    ['with the line ends of Windows', () => printChart(chart).replaceAll('\n', '\r\n')],
    ['in UTF-16', () => Buffer.from(`\uFEFF${printChart(chart)}`, 'utf16le')],
    ['in UTF-16 without a mark', () => Buffer.from(printChart(chart), 'utf16le')],
    ['as MusicXML', () => unwrap(writeMusicXml(chart))],
    [
      'as MusicXML in UTF-16',
      () => Buffer.from(`\uFEFF${unwrap(writeMusicXml(chart))}`, 'utf16le'),
    ],
    ['as compressed MusicXML', () => writeMxl(unwrap(writeMusicXml(chart)))],
  ] as const)('reads a chart %s', (_, written) => {
    fs.writeFileSync(at('other'), written());
    const { judged, text } = judge({ chart: at('other'), start: '0.5', json: true });
    expect([judged, text]).toEqual([true, expect.stringContaining('"verdict": "clean"')]);
  });

  it('says what becomes of a sheet of words and chords', () => {
    fs.writeFileSync(at('sheet.txt'), 'Chalk on the Gate\n\nG       D\nLeave a line of chalk\n');
    const { judged, text } = judge({ chart: at('sheet.txt') });
    expect([judged, text]).toEqual([false, expect.stringContaining('in the Charts room first')]);
  });

  it('reads a MIDI file, which brings sections and no chords', () => {
    const intro = unwrap(resolveUnit(chart, { kind: 'section', section: 'Intro' }));
    const track = practiceTrack(intro, { tempos: [TEMPO], passes: 1, lap: BARE_LAP, click: 'all' });
    fs.writeFileSync(at('song.mid'), writeSmf(unwrap(track), 'Song'));
    const { judged, text } = judge({ chart: at('song.mid'), unit: 'The whole song' });
    expect([judged, text]).toEqual([
      false,
      expect.stringMatching(/^No chord .* is due in ‘The whole song’/),
    ]);
  });

  it('names the line of a typed chart that it cannot read', () => {
    fs.writeFileSync(at('broken.txt'), 'title: Broken\ntempo: 90\n[A]\n| Gx9 | C |');
    const { status, stdout, stderr } = run({ chart: at('broken.txt') });
    expect([status, stdout]).toEqual([1, '']);
    expect(stderr).toMatch(/^line 4: .*Gx9/);
    expect(stderr).not.toMatch(/ at .*\.ts:\d/);
  });

  it.each([
    ['a take that is no sound', { take: at('text.wav') }, /is not a WAV recording/],
    ['a take that is not there', { take: at('gone.wav') }, /gone\.wav cannot be read \(ENOENT\)/],
    ['a chart that is none', { chart: at('text.wav') }, /not a|JSON|chart/],
    ['a unit the chart lacks', { unit: 'Nowhere' }, /has no unit ‘Nowhere’. It has:\n {2}Intro/],
    ['a tempo nobody plays', { tempo: '1000' }, /--tempo 1000: give a number from 20 to 400/],
    ['a start that is no number', { start: 'soon' }, /--start soon: give a number/],
    ['an option it does not know', { loud: true }, /npm run judge --/],
  ] as const)('says what is wrong with %s', (_, options, words) => {
    const { judged, text } = judge(options);
    expect(judged).toBe(false);
    expect(text).toMatch(words);
    expect(text).not.toMatch(/ at .*\.ts:\d/);
  });
});
