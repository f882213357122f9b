// What may be typed where the cursor stands: fields, section names, chords of the key first, strums.
import { inNames } from '../../../../app/core/harmony/note-names.ts';
import type { ChartBody } from '../../../../app/core/model/chart.ts';
import { STRUM_LIBRARY, strumsFor } from '../../../../app/core/rhythm/strum-library.ts';
import { printStrum } from '../../../../app/core/rhythm/strum.ts';
import { paletteOf } from './palette.ts';

interface Completion {
  readonly label: string;
  readonly detail?: string;
}

const HEAD = [
  'title: ',
  'by: ',
  'names: german',
  'key: ',
  'tempo: ♩ = ',
  'meter: ',
  'feel: swing 8 2:1',
  'capo: ',
  'tuning: ',
];
const SECTION = [
  'strum: ',
  'words: | ',
  'remark: ',
  'like: ',
  'line: ',
  'tempo: ♩ = ',
  'meter: ',
  'feel: ',
  'form:',
];
const IN_BAR: readonly Completion[] = [
  { label: 'pickup ', detail: 'a short first bar' },
  { label: 'rit. = ', detail: 'slower, up to a tempo' },
  { label: 'accel. = ', detail: 'faster, up to a tempo' },
  { label: 'a tempo', detail: 'the own tempo again' },
  { label: 'fermata', detail: 'hold the beat before' },
];

/** `chart` is the last text without a mistake; `before` is the line up to the cursor. */
export function completionsFor(
  chart: ChartBody | undefined,
  line: string,
  before: string,
): readonly Completion[] {
  const names = chart?.sections.map(({ name }) => name) ?? [];
  if (/^\s*like\s*:/i.test(before)) return names.map((label) => ({ label }));
  if (/^\s*strum\s*:|\{[^}]*$/i.test(before)) {
    const fitting = chart ? strumsFor(chart.meter) : STRUM_LIBRARY;
    return fitting.map(({ name, pattern }) => ({ label: printStrum(pattern), detail: name }));
  }
  if (/^\s*:?\|/.test(line)) {
    const chords = chart
      ? paletteOf(chart).map(({ symbol, why }) => ({
          label: inNames(symbol, chart.names),
          detail: why,
        }))
      : [];
    return [...chords, ...IN_BAR];
  }
  if (/^\s*\p{L}*$/u.test(before)) {
    const fields = [...HEAD, ...SECTION].map((label) => ({ label }));
    return [...fields, ...names.map((label) => ({ label, detail: 'section' }))];
  }
  return [];
}
