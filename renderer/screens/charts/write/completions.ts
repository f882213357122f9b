// What may be typed where the cursor stands: fields, section names, chords of the key first, strums.
import { TUNINGS } from '../../../../app/core/harmony/tunings.ts';
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

/** Usual names of sections (common practice, no source). */
const SECTION_NAMES = [
  'Intro',
  'Verse',
  'Pre-Chorus',
  'Chorus',
  'Bridge',
  'Solo',
  'Interlude',
  'Ending',
  'Outro',
];
const FEELS = ['straight', 'swing 8 2:1', 'swing 16 2:1', 'swing 8 3:2'];
const METERS = ['4/4', '3/4', '6/8', '2/4', '12/8', '5/4', '7/8', '2/2'];

type Within = 'head' | 'section' | 'form';

/** What the line at the cursor belongs to, by the lines above it. */
function withinOf(above: string): Within {
  const last = above.split('\n').findLast((line) => /^\s*(?:\[|(?:form|order)\s*:)/iu.test(line));
  return last === undefined ? 'head' : /^\s*\[/u.test(last) ? 'section' : 'form';
}

/** A section that is there already gets the next number. */
function headingsFor(names: readonly string[]): readonly Completion[] {
  const free = (name: string): string => {
    if (!names.includes(name)) return name;
    for (let n = 2; ; n++) if (!names.includes(`${name} ${n}`)) return `${name} ${n}`;
  };
  const isThere = (name: string): boolean => names.includes(name);
  // Those that the chart lacks come first.
  return SECTION_NAMES.toSorted((a, b) => Number(isThere(a)) - Number(isThere(b))).map((name) => ({
    label: free(name),
  }));
}

const plain = (labels: readonly string[]): readonly Completion[] =>
  labels.map((label) => ({ label }));

/**
 * `chart` is the last text without a mistake; `before` is the line up to the cursor, `above` the text above the line.
 */
export function completionsFor(
  chart: ChartBody | undefined,
  line: string,
  before: string,
  above = '',
): readonly Completion[] {
  const typed = above.matchAll(/^\s*\[([^[\]\n]+)\]/gmu);
  const names = [...new Set([...typed].map(([, name]) => name!.trim()))];
  const within = withinOf(above);
  if (/^\s*\[[^\]]*$/u.test(before)) return headingsFor(names);
  if (/^\s*like\s*:/iu.test(before)) return plain(names.slice(0, -1));
  const field = /^\s*(tuning|feel|meter)\s*:\s*[^\s]*$/iu.exec(before)?.[1]?.toLowerCase();
  if (field) return plain(VALUES.get(field) ?? []);
  if (/^\s*strum\s*:|\{[^}]*$/iu.test(before)) {
    const fitting = chart ? strumsFor(chart.meter) : STRUM_LIBRARY;
    return fitting.map(({ name, pattern }) => ({ label: printStrum(pattern), detail: name }));
  }
  if (/^\s*:?\|/u.test(line)) return [...chordsOf(chart), ...IN_BAR];
  if (within === 'form' || /^\s*(?:form|order)\s*:/iu.test(before))
    return names.map((label) => ({ label, detail: 'section' }));
  if (/^\s*\p{L}*$/u.test(before)) return plain(within === 'head' ? HEAD : SECTION);
  return [];
}

const VALUES: ReadonlyMap<string, readonly string[]> = new Map([
  ['tuning', TUNINGS.map(({ name }) => name)],
  ['feel', FEELS],
  ['meter', METERS],
]);

/** Chords of the key first. */
const chordsOf = (chart: ChartBody | undefined): readonly Completion[] =>
  chart
    ? paletteOf(chart).map(({ symbol, why }) => ({
        label: inNames(symbol, chart.names),
        detail: why,
      }))
    : [];
