// Reads the head of a typed chart: what holds for all of it, its shapes, and the comments around it.
import { meterOf } from '../../rhythm/meter.ts';
import { STANDARD } from '../../harmony/tunings.ts';
import type { ChartBody, Tempo } from '../../model/chart.ts';
import { readBand } from './band.ts';
import {
  parseCapo,
  parseFeel,
  parseMeter,
  parseNames,
  parseShape,
  parseTempo,
  parseTuning,
} from './fields.ts';
import type { Findings } from './findings.ts';
import { type ChartLines, spanOf } from './lines.ts';
import { headLines } from './print.ts';
import { tempoMissing } from './problems.ts';

export type ChartHead = Omit<ChartBody, 'sections' | 'form'>;

const COMMON_TIME = meterOf(4, 4);
/** Stands in for an unreadable tempo, so that the rest can be checked; the chart is refused anyway. */
const ANY_TEMPO: Tempo = { bpm: 100, beat: 'quarter' };

/** All above the first section. What cannot be read is said to `found`, and something usual stands in for it. */
export function readHead({ head, shapes, fields }: ChartLines, found: Findings): ChartHead {
  const { title, by, names, key, tempo, meter, feel, capo, tuning } = head;
  const { read } = found;
  const naming = read(names, parseNames);
  const meterRead = read(meter, parseMeter) ?? COMMON_TIME;
  if (!tempo && !found.isMeant(/^tempo:/mu)) found.say(tempoMissing(title && spanOf(title)));
  return {
    title: title?.text ?? '',
    ...(by && { by: by.text }),
    ...(naming === 'german' && { names: naming }),
    tempo: read(tempo, (text) => parseTempo(text, meterRead)) ?? ANY_TEMPO,
    meter: meterRead,
    feel: read(feel, parseFeel) ?? { kind: 'straight' },
    ...(key && { key: key.text }),
    capo: read(capo, parseCapo) ?? 0,
    tuning: read(tuning, (text) => parseTuning(text, naming)) ?? STANDARD,
    shapes: shapes.flatMap((value) => read(value, parseShape) ?? []),
    ...readBand(head, read),
    ...(fields.length > 0 && {
      fields: fields.map(({ name, value }) => ({ name, value: value.text })),
    }),
  };
}

/** Comments in the order in which they are printed; those above a line that is not printed close the head. */
export function withHeadComments(chart: ChartBody, { comments }: ChartLines): ChartBody {
  if (comments.length === 0) return chart;
  const order = headLines(chart).map(({ name }) => name);
  const places = [...new Set(order), '', 'form', 'end'];
  const settled = comments
    .map(({ before, text }) => ({ before: places.includes(before) ? before : '', text }))
    .toSorted((a, b) => places.indexOf(a.before) - places.indexOf(b.before));
  return { ...chart, comments: settled };
}
