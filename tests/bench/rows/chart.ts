// How long a chart of 200 bars takes to read while it is typed, and to go out to MusicXML and come back.
import * as io from 'musicxml-io';
import { SaxesParser } from 'saxes';
import type { ChartBody } from '../../../app/core/model/chart.ts';
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { draftOf } from '../../../app/core/sheets/draft.ts';
import { readSheet } from '../../../app/core/sheets/read.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import { readMusicXml } from '../../../app/core/exchange/musicxml/read/read.ts';
import { writeMusicXml } from '../../../app/core/exchange/musicxml/write/write.ts';
import { median } from '../../../app/core/base/median.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { type BenchRow, timeRuns } from '../bench.ts';

const RUNS = 30;

/** Five sections of 40 bars with changes, pins, strums and split beats; played as written, 200 bars. */
function longText(): string {
  const line = '| G / D / | Em7 (/ C) / / | % | Am7[575555] / / D7 |\n';
  const sections = ['A', 'B', 'C', 'D', 'E'].map(
    (name) => `[${name}]\nstrum: eighths D- D>U -U DU\n${line.repeat(10)}`,
  );
  return `title: Long\ntempo: ♩ = 120\nmeter: 4/4\n${sections.join('\n')}`;
}

const NOTES = [...'ABCDEFG'];

/** The long text after one more keystroke: a bar in its middle that did not stand in it before. */
function typedOn(): () => string {
  const bars = NOTES.flatMap((one) => NOTES.map((other) => `| ${one} / ${other}7 / |`));
  const lines = longText().split('\n');
  let at = 0;
  return () => lines.with(40, bars[at++ % bars.length]!).join('\n');
}

/** Forty verses of two lines of words with their chords above. */
function longSheet(): string {
  const verse = 'G          D        Em\nDown by the harbour lights\nC       G\nwaiting for you\n';
  return Array.from({ length: 40 }, (_, i) => `[Verse ${i + 1}]\n${verse}`).join('');
}

/** As somebody types who leaves out what may be left out: 15 lines of four bars with changing chords. */
function shortSong(): string {
  const lines = ['|G|D|Em|C|', '|Am|D|G|C|', '|Em|Bm|C|D7|', '|G|C|G|D|', '|Am7|D7|G|G|'];
  const sections = ['Verse', 'Chorus', 'Bridge'].map((name) => `[${name}]\n${lines.join('\n')}\n`);
  return `title:Low Tide\ntempo:96\n${sections.join('')}`;
}

/** On an English keyboard: capitals, the bar and the colon; once for signs in a row. */
const shifts = (text: string): number => (text.match(/[A-Z|:]+/g) ?? []).length;

const longChart = (): ChartBody => unwrap(parseChart(longText()));

/** Milliseconds, the median of some runs. */
const timed = async (work: () => unknown): Promise<number> => median(await timeRuns(RUNS, work));

export const rows: BenchRow[] = [
  {
    name: 'chart-typed',
    what: 'a typed chart of 200 bars read and checked, as at every keystroke',
    unit: 'ms',
    goal: { at: '<=', value: 16 },
    measure: async () => {
      const next = typedOn();
      const value = await timed(() => unwrap(parseChart(next())));
      return { value, note: 'median, each time with another bar; 16 ms is one frame' };
    },
  },
  {
    name: 'sheet-draft',
    what: 'a pasted sheet of 200 lines, chords over words, read and made a draft',
    unit: 'ms',
    goal: { at: '<=', value: 100 },
    measure: async () => {
      const text = longSheet();
      const value = await timed(() => draftOf(readSheet(text)));
      return { value, note: `${text.split('\n').length} lines, median` };
    },
  },
  {
    name: 'song-presses',
    what: 'key presses to type a song of three sections with 60 bars from nothing, each Shift counted',
    unit: 'presses',
    goal: { at: '<=', value: 400 },
    measure: () => {
      const text = shortSong();
      const bars = unwrap(parseChart(text)).sections.flatMap((section) => section.bars).length;
      const note = `${bars} bars, ${text.length} characters`;
      return Promise.resolve({ value: text.length + shifts(text), note });
    },
  },
  {
    name: 'chart-units',
    what: 'all units of a chart of 200 bars resolved',
    unit: 'ms',
    measure: async () => {
      const chart = longChart();
      const count = listUnits({ id: 'long', ...chart }).length;
      const value = await timed(() => listUnits({ id: 'long', ...chart }));
      return { value, note: `${count} units, median` };
    },
  },
  {
    name: 'musicxml-out',
    what: 'a chart of 200 bars written as MusicXML; the peer prints the same score',
    unit: 'ms',
    measure: async () => {
      const chart = longChart();
      const score = io.parse(unwrap(writeMusicXml(chart)));
      const value = await timed(() => writeMusicXml(chart));
      const peer = await timed(() => io.serialize(score));
      return { value, peer: { name: 'musicxml-io', value: peer }, note: 'median' };
    },
  },
  {
    name: 'musicxml-in',
    what: 'a MusicXML score of 200 bars read as a chart; the peer reads the same file',
    unit: 'ms',
    measure: async () => {
      const file = unwrap(writeMusicXml(longChart()));
      const value = await timed(() => readMusicXml(file));
      const peer = await timed(() => io.parse(file));
      const whole = await timed(() => new SaxesParser().write(file).close());
      const size = `${Math.round(file.length / 1000)} kB`;
      const note = `${size}, median; the peer takes files that are not whole XML, which alone takes ${whole.toFixed(1)} ms to check, and finds no sections or form`;
      return { value, peer: { name: 'musicxml-io', value: peer }, note };
    },
  },
];
