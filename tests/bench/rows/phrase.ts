// Figures of the lead lines: the best fingering of a long phrase.
import { parsePart } from '../../../app/core/chart/phrase/notation.ts';
import { toPitches } from '../../../app/core/chart/phrase/pitched.ts';
import { USUAL_NECK } from '../../../app/core/fretboard/geometry.ts';
import { fingerings } from '../../../app/core/fretboard/phrase/fingering.ts';
import { unwrap } from '../../../app/core/result.ts';
import { quantile, timeRuns, type BenchRow } from '../bench.ts';

const OPEN = [40, 45, 50, 55, 59, 64];
/** Eight notes that reach over four positions, and so leave many ways open. */
const FIGURE = '6/5 5/7 4/7 3/9 2/10 1/12 2/13 3/12';

export const rows: BenchRow[] = [
  {
    name: 'phrase-fingering-64',
    what: 'best fingering of a 64-note phrase, with its alternatives',
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
];
