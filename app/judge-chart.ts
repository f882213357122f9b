// The chart by which a recording is judged: whatever the program opens as a chart, told by what the file is.
import { fail, ok, type Result } from './core/base/result.ts';
import { readAnyChart } from './core/chart/notation/any-chart.ts';
import { looksLikeMidi, readSmf } from './core/exchange/midi/read.ts';
import { readMxl } from './core/exchange/musicxml/read/mxl.ts';
import { readMusicXml } from './core/exchange/musicxml/read/read.ts';
import { looksZipped } from './core/exchange/zip/directory.ts';
import type { Chart } from './core/model/chart.ts';

/** A typed chart, with or without the line that says which it is; the older form in JSON; MusicXML, also compressed; a MIDI file. */
export function readChartBytes(bytes: Buffer): Result<Chart> {
  if (looksLikeMidi(bytes)) return chartOf(readSmf(bytes));
  if (looksZipped(bytes)) {
    const score = readMxl(bytes);
    return score.ok ? chartOf(readMusicXml(decoded(Buffer.from(score.value)))) : score;
  }
  const text = decoded(bytes);
  if (/^\uFEFF?\s*</u.test(text)) return chartOf(readMusicXml(text));
  const chart = readAnyChart(text, 'typed');
  return chart.ok || /^\s*(?:\uFEFF?\s*\{|title\s*:|tempo\s*:)/imu.test(text) ? chart : notAChart();
}

const chartOf = (score: ReturnType<typeof readMusicXml>): Result<Chart> =>
  score.ok ? ok({ id: 'score', ...score.value.chart }) : score;

/** UTF-8, or UTF-16 where its first bytes say so. */
function decoded(bytes: Buffer): string {
  const [first, second] = bytes;
  const encoding =
    (first === 0xff && second === 0xfe) || second === 0
      ? 'utf-16le'
      : (first === 0xfe && second === 0xff) || first === 0
        ? 'utf-16be'
        : 'utf-8';
  return new TextDecoder(encoding).decode(bytes);
}

const notAChart = (): Result<never> =>
  fail({
    code: 'judge-chart',
    message: 'The file is neither a chart nor a score: it says no title and no tempo',
    cure: 'Give a typed chart, or MusicXML or MIDI. A sheet of words and chords becomes a chart in the Charts room first: open it there and save.',
  });
