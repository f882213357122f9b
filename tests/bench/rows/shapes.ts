// Bench rows of harmony and hands: time to find shapes and paths, and agreement with a published table.
import { bestPath } from '../../../app/core/fretboard/path.ts';
import { shapesFor } from '../../../app/core/fretboard/search.ts';
import type { ChordStep } from '../../../app/core/fretboard/chord-step.ts';
import { STANDARD, readTuning } from '../../../app/core/harmony/tunings.ts';
import type { Tuning } from '../../../app/core/model/chart.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import type { SoundingChord } from '../../../app/core/model/chord.ts';
import { readChord } from '../../../app/core/harmony/read.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { agreement, agreementWith } from '../../reference/chords-db.ts';
import { readTable } from '../../reference/lilypond.ts';
import { type BenchRow, quantile } from '../bench.ts';
import { chordOf } from '../../../app/core/harmony/read.ts';

const ROOTS = ['C', 'Db', 'D', 'Eb', 'E', 'F', 'F#', 'G', 'Ab', 'A', 'Bb', 'B'];
const QUALITIES = ['', 'm', '7', 'm7', 'maj7', 'sus4', 'dim7', '9', '13', 'm11'];
const SYMBOLS = QUALITIES.flatMap((quality) => ROOTS.map((root) => root + quality));
const chord = (symbol: string) => unwrap(readChord(symbol)) as SoundingChord;

/**
 * Processor time of one call in milliseconds, all threads of this process: unlike wall-clock time it
 * does not grow when the machine is shared. Median of `runs` calls after `warmUp` uncounted ones.
 */
function processorMs(runs: number, work: () => unknown, warmUp: number): number {
  for (let i = 0; i < warmUp; i++) work();
  const times = Array.from({ length: runs }, () => {
    const before = process.cpuUsage();
    work();
    const { user, system } = process.cpuUsage(before);
    return (user + system) / 1000;
  });
  return quantile(times, 0.5);
}

let necks = 0;
/** Searches are remembered by chord and guitar; on a guitar that no row has used, each is made anew. */
const anotherNeck = () => ({ ...USUAL_NECK, scale: USUAL_NECK.scale + ++necks * 1e-7 });

const perChord: BenchRow = {
  name: 'shapes-per-chord',
  what: 'all playable shapes of one chord, slowest of 120 chords, processor time',
  unit: 'ms',
  goal: { at: '<=', value: 2 },
  async measure() {
    const search = (symbol: string) => shapesFor(chord(symbol), STANDARD, { neck: anotherNeck() });
    for (let i = 0; i < 3; i++) SYMBOLS.forEach(search);
    const times = SYMBOLS.map((symbol) => processorMs(9, () => search(symbol), 1));
    const typical = quantile(times, 0.5).toFixed(2);
    return {
      value: Math.max(...times),
      note: `median of 9 searches each, none answered from memory; typical chord ${typical} ms; frets 0–14`,
    };
  },
};

/** 64 bars with two chords in every fourth: 80 steps over 24 different chords, never the same pair twice in a row. */
const LONG_CHART: readonly ChordStep[] = Array.from({ length: 80 }, (_, i) => ({
  chord: chordOf(SYMBOLS[(i * 7 + Math.floor(i / 24) * 5) % 24]!),
  bar: Math.floor((i * 64) / 80),
  at: i,
  ...(i > 0 && { gap: 0.5 }),
}));

const OPEN_A = unwrap(readTuning('E A E A C# E'));

const longPath: BenchRow = {
  name: 'best-path-64',
  what: 'best path of shapes through 64 bars: 80 chords, 24 different ones, processor time',
  unit: 'ms',
  goal: { at: '<=', value: 10 },
  async measure() {
    const on = (tuning: Tuning) =>
      processorMs(15, () => bestPath(LONG_CHART, tuning, { neck: anotherNeck() }), 10);
    const untaught = on(OPEN_A).toFixed(1);
    return {
      value: on(STANDARD),
      note: `median of 15 runs on guitars not seen before; in open A, where nothing is taught and every chord is searched, ${untaught} ms`,
    };
  },
};

const published: BenchRow = {
  name: 'chords-db-agreement',
  what: 'first positions of chords-db (132 common chords) shown with our best three shapes, fret for fret; peer: the engraver’s shape of lilypond-data among chords-db’s own first three',
  unit: '%',
  goal: { at: '>=', value: 90 },
  async measure() {
    const { of, leading, listed } = agreement();
    const table = readTable();
    const tables = table && agreementWith(table);
    const between = tables
      ? `the two tables print the same shape for ${tables.first} of ${tables.of} chords that both have`
      : 'lilypond-data is not installed here';
    return {
      value: (100 * listed) / of,
      ...(tables && {
        peer: { name: 'between two tables', value: (100 * tables.amongThree) / tables.of },
      }),
      note: `${listed} of ${of}: ${leading} as one of the three, the others as a variant beside one; ${between}`,
    };
  },
};

export const rows: BenchRow[] = [perChord, longPath, published];
