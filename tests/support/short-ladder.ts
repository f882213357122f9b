// A climb that ends within seconds: a ladder of three rungs on one bar of a demo chart.
import type { CallInput } from '../../app/services/contract/contract.ts';
import { PLAIN_RULES } from './plain-rules.ts';

/** The turnaround of three beats plus one in the demo chart of barre changes. */
export const CHART = 'demo-copper-staircase';
export const UNIT = 'bars:Lift:4-4';

/** Rungs 360, 380 and 400: a lap of count-in, one bar and rest takes about 2 to 3.5 s. */
export const SHORT_LADDER: CallInput<'ladders.save'> = {
  chart: CHART,
  unit: UNIT,
  rules: { ...PLAIN_RULES, start: 360, target: 400, step: { kind: 'bpm', by: 20 }, restBars: 4 },
  options: {
    countIn: 'one',
    restBars: 4,
    click: { kind: 'every-beat' },
    subdivision: 1,
    cueBeats: 1,
    markChanges: true,
  },
};
