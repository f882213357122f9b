// The lead lines of a unit inside one of its laps: which parts there are, and the tones of each.
import type { PlayedLine, Unit } from '../../model/unit.ts';
import { lineMoments } from '../../timeline/lead.ts';
import type { Lap } from '../../timeline/model.ts';
import { lineTones, type LineTone } from './tones.ts';

export type LinePart = Pick<PlayedLine, 'phrase' | 'part'>;

/** Every part of every lead line that the unit's bars hold, once. */
export function partsIn(unit: Unit): readonly LinePart[] {
  const found = new Map<string, LinePart>();
  for (const { phrase, part } of unit.bars.flatMap((bar) => bar.lines ?? [])) {
    found.set(`${phrase}:${part}`, { phrase, part });
  }
  return [...found.values()];
}

/** A line's moments count from its own first bar; the tones' times are from the start of the lap. */
export function tonesInLap(unit: Unit, lap: Lap, part: LinePart): readonly LineTone[] {
  const moments = lineMoments(unit, lap.bpm, { countIn: 'none', restBars: 0 }, part);
  return lineTones(
    moments.map((moment) => ({
      ...moment,
      seconds: moment.seconds + lap.unitStart,
      until: moment.until + lap.unitStart,
    })),
  );
}
