// The lead lines of a unit inside one of its laps: which parts there are, and the tones of each.
import type { Unit } from '../../model/unit.ts';
import { leadMoments, type LeadPartName } from '../../timeline/lead.ts';
import type { Lap } from '../../timeline/model.ts';
import { leadTones, type LeadTone } from './tones.ts';

/** Every part of every lead line that the unit's bars hold, once. */
export function partsIn(unit: Unit): readonly LeadPartName[] {
  const found = new Map<string, LeadPartName>();
  for (const { lead, part } of unit.bars.flatMap((bar) => bar.leads ?? [])) {
    found.set(`${lead}:${part}`, { lead, part });
  }
  return [...found.values()];
}

/** A lead's moments count from its own first bar; the tones' times are from the start of the lap. */
export function tonesInLap(unit: Unit, lap: Lap, part: LeadPartName): readonly LeadTone[] {
  const moments = leadMoments(unit, lap.bpm, { countIn: 'none', restBars: 0 }, part);
  return leadTones(
    moments.map((moment) => ({
      ...moment,
      seconds: moment.seconds + lap.unitStart,
      until: moment.until + lap.unitStart,
    })),
  );
}
