// The chart by which a recording is judged: whatever the program opens as a chart, told by what the file is.
import { fail, ok, type Result } from './core/base/result.ts';
import { readAnyChart } from './core/chart/notation/any-chart.ts';
import { openFile } from './core/exchange/open/open-file.ts';
import type { Chart } from './core/model/chart.ts';

/** A typed chart, with or without the line that says which it is; the older form in JSON; MusicXML, also compressed; a MIDI file. */
export function readChartBytes(bytes: Uint8Array): Result<Chart> {
  const file = openFile(bytes, TextDecoder);
  if (!file.ok) return file;
  if (file.value.kind === 'score') return ok({ id: 'score', ...file.value.score.chart });
  const { text } = file.value;
  const chart = readAnyChart(text, 'typed');
  return chart.ok || /^\s*(?:\{|title\s*:|tempo\s*:)/imu.test(text) ? chart : notAChart();
}

const notAChart = (): Result<never> =>
  fail({
    code: 'judge-chart',
    message: 'The file is neither a chart nor a score: it says no title and no tempo',
    cure: 'Give a typed chart, or MusicXML or MIDI. A sheet of words and chords becomes a chart in the Charts room first: open it there and save.',
  });
