// Passes in brief, as many as a level is read from: columns and a few fields of what was recorded, nothing restored.
import type { DatabaseSync } from 'node:sqlite';
import type { BeatUnit, IsoDate } from '../../../core/base/units.ts';
import type { BriefPass, PassRecord } from '../../../core/model/pass.ts';
import { searchedKey } from './stored-form.ts';

export interface BrieflyAsked {
  readonly desk: string;
  readonly chart: string;
  readonly since: IsoDate;
  readonly until: IsoDate;
  /** Fingerprints of the bars, whatever the unit was called. */
  readonly bars?: readonly string[];
  /** Key of the unit, where no bars are named. */
  readonly unit?: string;
}

/** Settled, in time order. */
export type ReadBriefly = (asked: BrieflyAsked) => readonly BriefPass[];

/** The unit's index leads: the bars of one song are those of a whole class, and the plus keeps SQLite from them. */
const BRIEF = `
  select instant, row, bars, sitting, verdict, source, seconds,
    record ->> '$.at' as at, record ->> '$.cold' as cold, record ->> '$.underrun' as underrun,
    record ->> '$.rung.bpm' as bpm, record ->> '$.rung.index' as rung
  from passes
  where unit in (select units.ref from units join desks on desks.ref = units.desk
      where desks.name = ? and chart = ? and iif(? is null, 1, units.unit = ?))
    and day between ? and ?
    and iif(? is null, 1, +bars in (select ref from bars where fingerprint in (select value from json_each(?))))`;

type Row = Pick<PassRecord, 'at' | 'verdict' | 'source'> & {
  readonly instant: number;
  readonly row: number;
  readonly bars: number;
  readonly sitting: number;
  readonly seconds: number;
  readonly cold: 0 | 1;
  readonly underrun: 0 | 1 | null;
  readonly bpm: number;
  readonly rung: number;
};

/**
 * Check sums are not looked at here, since nothing is read whole: they are when the log is opened and once a week,
 * and when a pass itself is shown.
 */
export function readBriefly(database: DatabaseSync): ReadBriefly {
  const brief = database.prepare(BRIEF);
  const beat = database.prepare(
    "select record ->> '$.rung.beat' as beat from sittings where ref = ?",
  );
  const print = database.prepare('select fingerprint from bars where ref = ?');
  return ({ desk, chart, since, until, bars, unit }) => {
    const beats = onceEach((ref) => (beat.get(ref) as { beat: BeatUnit }).beat);
    const units = onceEach((ref) => print.get(ref) as { fingerprint: string });
    const key = unit === undefined ? null : searchedKey(unit);
    const prints = bars === undefined ? null : JSON.stringify(bars);
    const rows = brief.all(desk, chart, key, key, since, until, prints, prints);
    return (rows as unknown as Row[])
      .sort((a, b) => a.instant - b.instant || a.row - b.row)
      .map((row) => ({
        ...{ at: row.at, verdict: row.verdict, source: row.source, cold: row.cold === 1 },
        ...(row.underrun === 1 ? { underrun: true as const } : {}),
        duration: row.seconds,
        unit: units(row.bars),
        rung: { bpm: row.bpm, beat: beats(row.sitting), index: row.rung },
      }));
  };
}

function onceEach<T>(look: (ref: number) => T): (ref: number) => T {
  const known = new Map<number, T>();
  return (ref) => {
    if (!known.has(ref)) known.set(ref, look(ref));
    return known.get(ref)!;
  };
}
