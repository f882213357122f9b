// What the reference asks of the program: today's modules, and where names differ from the first ones, how to find them.
import { parseChart } from '../../../app/core/chart/notation/parse.ts';
import { printChart } from '../../../app/core/chart/notation/print.ts';
import { writeSmf } from '../../../app/core/exchange/midi/write.ts';
import { practiceTrack } from '../../../app/core/exchange/practice-track.ts';
import { writeWav } from '../../../app/core/exchange/wave/write.ts';
import { readChord } from '../../../app/core/harmony/read.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { UnitRef } from '../../../app/core/model/unit.ts';
import { strokesInBar } from '../../../app/core/rhythm/strum.ts';
import { hitsOf } from '../../../app/core/sound/hits.ts';
import { partsIn } from '../../../app/core/sound/lead/in-lap.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import type { Lap, LapEvent } from '../../../app/core/timeline/model.ts';
import { resolveUnit } from '../../../app/core/units/resolve.ts';

/** The clicks of a lap up to the end of its unit: place, seconds, and what is heard there. */
export type Clicks = readonly (readonly [at: string, seconds: number, ...voices: string[]])[];

export const placeOf = ({ at }: Pick<LapEvent, 'at'>): string => `${at.n}/${at.d}`;

/** Pulse and marks; the voices of the count-in and of groups are younger than the first commit, and count as one. */
function clicksOf(lap: Lap): Clicks {
  const plain = new Map([
    ['entrance', 'count'],
    ['group', 'beat'],
  ]);
  const heard = hitsOf(lap).filter(({ seconds }) => seconds < lap.unitEnd);
  return [...Map.groupBy(heard, placeOf)].map(([at, hits]) => [
    at,
    hits[0]!.seconds,
    ...hits.map(({ voice }) => plain.get(voice) ?? voice),
  ]);
}

/** Every part of every lead, alone. */
const leadsOf = (chart: Chart): readonly UnitRef[] =>
  chart.sections.flatMap(({ name: section, leads = [] }) =>
    leads.flatMap(({ name: lead, parts }) =>
      parts.map(
        ({ name: part }) => ({ kind: 'lead', section, lead, part, reach: 'alone' }) as const,
      ),
    ),
  );

export const today = {
  ...{ parseChart, printChart, resolveUnit, buildLap, strokesInBar },
  ...{ partsIn, practiceTrack, writeSmf, writeWav, readChord, clicksOf, leadsOf },
  symbolOf: ({ chord }: Pick<LapEvent, 'chord'>): string | undefined => chord?.symbol,
  opening: (lap: Lap): string | undefined => lap.opening?.symbol,
};

export type Core = typeof today;
