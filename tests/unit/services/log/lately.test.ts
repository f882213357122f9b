// Of a long log of some bars only so many passes are read as matter, and they say the same as all of it.
import { expect, it } from 'vitest';
import { dateOfDay, dayNumber } from '../../../../app/core/log/days.ts';
import type { PassRecord } from '../../../../app/core/model/pass.ts';
import { standingOf } from '../../../../app/core/progress/standing.ts';
import { memoryLog } from '../../../../app/services/machine/log/memory-log.ts';
import { dice } from '../../../bench/honest/players.ts';
import { samplePass, sampleUnit } from '../samples.ts';

const FIRST = dayNumber('2030-01-01');

/** @param cold how likely the first pass of a day is judged */
function played(seed: number, days: number, cold: number): PassRecord[] {
  const roll = dice(seed);
  return Array.from({ length: days }, (_, day) => day).flatMap((day) =>
    Array.from({ length: Math.floor(16 * roll()) }, (__, n) =>
      samplePass(`p${day}-${n}`, {
        at: `${dateOfDay(FIRST + day)}T18:${String(n).padStart(2, '0')}:00.000+02:00`,
        rung: { bpm: 60 + day / 10 + 20 * roll(), beat: 'quarter', index: 0, of: 5, target: 120 },
        verdict: n === 0 && roll() > cold ? 'unjudged' : roll() < 0.7 ? 'clean' : 'missed',
        cold: n === 0,
        duration: 40 * roll(),
        ...(roll() < 0.05 ? { underrun: true } : {}),
      }),
    ),
  );
}

it.each([
  [1, 1],
  [2, 0.4],
  [3, 0.1],
  [4, 0.02],
  [5, 0],
])('player %i, whose first passes are judged in a share of %f', (seed, cold) => {
  const passes = played(seed, 300, cold);
  const log = memoryLog();
  const [{ chart, unit }] = passes as [PassRecord];
  const entries = passes.map(
    (pass) => ({ kind: 'pass', pass, unit: sampleUnit(unit.fingerprint) }) as const,
  );
  log.write('self', entries);
  for (const back of [0, 1, 20, 150]) {
    const asOf = dateOfDay(FIRST + 300 - back);
    const asked = { beat: 'quarter', target: 100, asOf } as const;
    const bars = { desk: 'self', chart: chart.id, bars: unit.fingerprint };
    const read = log.read.lately({ ...bars, asOf });
    expect(standingOf({ ...asked, passes: read })).toEqual(standingOf({ ...asked, passes }));
    if (back < 100) expect(read.length).toBeLessThan(0.7 * passes.length);
  }
});
