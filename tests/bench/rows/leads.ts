// Figures of the lead lines: the best fingering of a long lead, and the ear note by note on held-out takes.
import { parsePart } from '../../../app/core/lead/notation.ts';
import { toPitches } from '../../../app/core/lead/pitched.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { fingerings } from '../../../app/core/lead/fingering.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { freshLines, type LineFigures, lineFigures } from '../lead-set/figures.ts';
import { quantile, timeRuns, type BenchRow } from '../bench.ts';

const OPEN = [40, 45, 50, 55, 59, 64];
/** Eight notes that reach over four positions, and so leave many ways open. */
const FIGURE = '6/5 5/7 4/7 3/9 2/10 1/12 2/13 3/12';

let found: LineFigures | undefined;
/** One run of the set serves all its rows. */
const figures = (): LineFigures => (found ??= lineFigures(freshLines()));
const setNote = (): string =>
  `${figures().notes} notes on seven guitars in six rooms that no choice has met, looked at once; unsure ${(100 * figures().unsure).toFixed(1)} %`;

export const rows: BenchRow[] = [
  {
    name: 'lead-fingering-64',
    what: 'best fingering of a 64-note lead, with its alternatives',
    unit: 'ms',
    goal: { at: '<=', value: 20 },
    async measure() {
      const text = Array<string>(8).fill(FIGURE).join(' | ');
      const bars = toPitches(unwrap(parsePart(text, 'Line')), OPEN);
      const neck = { ...USUAL_NECK, open: OPEN, frets: 22 };
      const times = await timeRuns(30, () => unwrap(fingerings(bars, neck, 'Line')));
      return {
        value: quantile(times, 0.5),
        note: `95th percentile ${quantile(times, 0.95).toFixed(1)} ms`,
      };
    },
  },
  {
    name: 'line-right-accepted',
    what: 'lead line: note judged right when it was right',
    unit: '%',
    goal: { at: '>=', value: 99 },
    async measure() {
      const { share, words } = figures().accepted;
      return { value: 100 * share, note: `${words}; ${setNote()}` };
    },
  },
  {
    name: 'line-short-accepted',
    what: 'lead line: right notes shorter than 160 ms judged right',
    unit: '%',
    goal: { at: '>=', value: 97 },
    async measure() {
      const { share, words } = figures().short;
      return { value: 100 * share, note: words };
    },
  },
  {
    name: 'line-legato-accepted',
    what: 'lead line: right notes hammered on, pulled off or slid into, judged right',
    unit: '%',
    goal: { at: '>=', value: 99 },
    async measure() {
      const { share, words } = figures().legato;
      return { value: 100 * share, note: words };
    },
  },
  {
    name: 'line-wrong-caught',
    what: 'lead line: wrong pitch caught',
    unit: '%',
    goal: { at: '>=', value: 99 },
    async measure() {
      const { share, words } = figures().caught;
      return { value: 100 * share, note: `${words}; ${setNote()}` };
    },
  },
  {
    name: 'line-bend-median',
    what: 'lead line: error of where a bend is heard to arrive, median of the absolute',
    unit: 'cents',
    goal: { at: '<=', value: 10 },
    async measure() {
      const { bends } = figures();
      const size = bends.map(Math.abs);
      return {
        value: quantile(size, 0.5),
        note: `${bends.length} bends; bias ${quantile(bends, 0.5).toFixed(1)}, 95th percentile ${quantile(size, 0.95).toFixed(1)} cents`,
      };
    },
  },
  {
    name: 'line-timing-median',
    what: 'lead line: error of where a note is heard to begin, median of the absolute',
    unit: 'ms',
    goal: { at: '<=', value: 5 },
    async measure() {
      const { offsets } = figures();
      const size = offsets.map(Math.abs);
      return {
        value: quantile(size, 0.5),
        note: `bias ${quantile(offsets, 0.5).toFixed(1)}, 95th percentile ${quantile(size, 0.95).toFixed(1)} ms`,
      };
    },
  },
  {
    name: 'line-ear-cost',
    what: 'lead line: the ear’s processor time as a share of playing time, one core',
    unit: '%',
    goal: { at: '<=', value: 1.5 },
    async measure() {
      return { value: 100 * figures().cost, note: 'after the pass, all at once' };
    },
  },
];
