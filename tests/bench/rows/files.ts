// How much faster than real time a practice track with everything in it is written as a WAVE file.
import { practiceTrack } from '../../../app/core/exchange/practice-track.ts';
import { writeWav } from '../../../app/core/exchange/wave/write.ts';
import { unwrap } from '../../../app/core/base/result.ts';
import { partsIn } from '../../../app/core/sound/lead/in-lap.ts';
import { lineUnit } from '../../unit/exchange/lead-unit.ts';
import { PLAIN } from '../../unit/timeline/examples.ts';
import { type BenchRow, quantile, timeRuns } from '../bench.ts';
import { FULL_LEVELS } from '../../support/levels.ts';

const RATE = 48_000;

/** All that a lead line can do, in eighths and triplets, and a second part that bends all along. */
const PARTS = {
  One: '8 3/5 h7 p5 /9 2/8b1r 2/8~ 3/7 5/x | 8t 3/7 h9 p7 2/8b1 - 2/5 4 2/8 1/5~',
  Two: '4 1/8b1 1/8b1r 1/12~ 1/10 | 2 1/8b1.5~ 1/12',
};
/** An open G, strummed on every beat. */
const VOICINGS = [[43, 47, 50, 55, 59, 67]];

async function measure() {
  const unit = lineUnit(PARTS);
  const track = unwrap(
    practiceTrack(unit, {
      tempos: [60, 65, 70, 75, 80, 85, 90, 95],
      passes: 3,
      lap: { ...PLAIN, restBars: 1, subdivision: 2 },
      click: 'all',
      voicings: VOICINGS,
      leads: partsIn(unit),
    }),
  );
  const times = await timeRuns(5, () => [...writeWav(track, FULL_LEVELS, RATE)].length);
  return {
    value: (track.end * 1000) / quantile(times, 0.5),
    note: `${track.end.toFixed(0)} s of clicks, strummed model guitar and a lead line in two parts at ${RATE} Hz`,
  };
}

export const rows: BenchRow[] = [
  {
    name: 'wav-lead-lines',
    what: 'a practice track with clicks, model guitar and two parts of a lead line written as a WAVE file',
    unit: '× real time',
    goal: { at: '>=', value: 100 },
    measure,
  },
];
