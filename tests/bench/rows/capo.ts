// Does the ear hear as well above a capo? The model guitar plays the demos' sections with the capo at every fret from 0 to 7.
import { demoCharts } from '../../../app/services/machine/demo-charts.ts';
import { expectationOf } from '../../../app/core/ear/expectation.ts';
import { judgeTake } from '../../../app/core/ear/judge-take.ts';
import { USUAL_RULE } from '../../../app/core/ear/verdict.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { mixGuitar, Plucks } from '../../../app/core/sound/guitar.ts';
import { strumNotes } from '../../../app/core/sound/strum-notes.ts';
import { RECORDED_LAP } from '../../../app/core/timeline/bare-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { unitVoicings } from '../../../app/core/units/hands/hands.ts';
import { listUnits } from '../../../app/core/units/resolve.ts';
import type { BenchRow } from '../bench.ts';
import { NETWORK } from '../../support/network.ts';

const RATE = 22_050;
const CAPOS = [0, 1, 2, 3, 4, 5, 6, 7];

interface Heard {
  readonly right: number;
  readonly changes: number;
  readonly shifted: boolean;
}

/** A perfect take at the unit's own tempo. */
function hear(unit: Unit, chart: Chart, shapesKnown: boolean): Heard {
  const { bpm } = unit.tempo;
  const voicings = unitVoicings(unit, chart.shapes);
  const lap = buildLap(unit, bpm, RECORDED_LAP);
  const samples = new Float32Array(Math.ceil((lap.end + 1) * RATE));
  mixGuitar(samples, 0, strumNotes(lap, unit, voicings), new Plucks(RATE));
  const take = { samples, rate: RATE, length: samples.length / RATE, remarks: [] };
  const { changes, findings } = judgeTake(take, unit, {
    bpm,
    rule: USUAL_RULE,
    start: lap.unitStart,
    voicings: shapesKnown ? voicings : null,
    network: NETWORK,
  });
  // A chord under which no stroke is written makes no sound that could be told.
  const { changes: due } = expectationOf(lap, unit, 0, { voicings: null });
  const struck = changes.filter((_, i) => due[i]!.struck);
  const right = struck.filter(({ chord }) => chord === 'right').length;
  return { right, changes: struck.length, shifted: findings.shift !== 0 };
}

function heardAt(capo: number, shapesKnown: boolean): Heard {
  const heard = demoCharts().flatMap((demo) => {
    const chart = { ...demo, capo };
    return listUnits(chart, 'section')
      .slice(0, 2)
      .map((unit) => hear(unit, chart, shapesKnown));
  });
  const sum = (of: (one: Heard) => number) => heard.reduce((total, one) => total + of(one), 0);
  return {
    right: sum((one) => one.right),
    changes: sum((one) => one.changes),
    shifted: heard.some((one) => one.shifted),
  };
}

const share = ({ right, changes }: Heard): number => right / changes;

function capoRow(name: string, shapesKnown: boolean): BenchRow {
  return {
    name,
    what: `changes told right of perfect takes above a capo, the worst of frets 1 to 7, ${shapesKnown ? 'shapes known' : 'symbols alone'}`,
    unit: 'share',
    goal: { at: '>=', value: 0.98 },
    measure: async () => {
      const [open, ...raised] = CAPOS.map((capo) => heardAt(capo, shapesKnown));
      const shifted = raised.filter((one) => one.shifted).length;
      return {
        value: Math.min(...raised.map(share)),
        peer: { name: 'the same without a capo', value: share(open!) },
        note: `${open!.changes} changes at each fret; frets 1 to 7: ${raised
          .map((one) => share(one).toFixed(3))
          .join(', ')}; taken for another capo: ${shifted} of 7`,
      };
    },
  };
}

export const rows: BenchRow[] = [capoRow('capo-shapes', true), capoRow('capo-symbols', false)];
