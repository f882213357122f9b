// Passes as a level is read from them: columns, and two marks looked for in what was recorded; nothing is parsed.
import type { DatabaseSync } from 'node:sqlite';
import type { BeatUnit, Bpm, IsoDate } from '../../../core/base/units.ts';
import { byId } from '../../../core/log/history.ts';
import type { LevelPass, PassRecord } from '../../../core/model/pass.ts';
import { inBeat } from '../../../core/rhythm/pulse.ts';
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

/** Settled, in time order; `at` names the day alone. */
export type ReadBriefly = (asked: BrieflyAsked) => readonly LevelPass[];

/**
 * The unit's index leads: the bars of one song are those of a whole class, and the plus keeps SQLite from them. What was
 * recorded is JSON without spaces, in which a quotation mark within a text has a stroke before it: so a mark that is
 * found is one. To parse it takes twice as long as all the rest.
 */
const BRIEF = `
  select instant, id, bars, sitting, day, verdict, source, seconds, quarters,
    record glob '*cold":true*' as cold, record glob '*underrun":true*' as underrun
  from passes
  where unit in (select units.ref from units join desks on desks.ref = units.desk
      where desks.name = ? and chart = ? and iif(? is null, 1, units.unit = ?))
    and day between ? and ?
    and iif(? is null, 1, +bars in (select ref from bars where fingerprint in (select value from json_each(?))))`;

type Row = Pick<PassRecord, 'verdict' | 'source'> & {
  readonly instant: number;
  readonly id: string;
  readonly bars: number;
  readonly sitting: number;
  readonly day: IsoDate;
  readonly seconds: number;
  readonly quarters: number;
  readonly cold: 0 | 1;
  readonly underrun: 0 | 1;
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
    /** By sitting and quarter notes a minute: most passes share theirs. */
    const rungs = onceEach((ref: number) => {
      const found = (beat.get(ref) as { beat: BeatUnit }).beat;
      return onceEach((quarters: Bpm) => {
        return { bpm: asPlayed(inBeat(quarters, 'quarter', found)), beat: found };
      });
    });
    const units = onceEach((ref: number) => print.get(ref) as { fingerprint: string });
    const key = unit === undefined ? null : searchedKey(unit);
    const prints = bars === undefined ? null : JSON.stringify(bars);
    const rows = brief.all(desk, chart, key, key, since, until, prints, prints);
    return (rows as unknown as Row[])
      .sort((a, b) => a.instant - b.instant || byId(a, b))
      .map((row): LevelPass => {
        const pass = {
          at: `${row.day}T00:00:00Z`,
          verdict: row.verdict,
          source: row.source,
          cold: row.cold === 1,
          duration: row.seconds,
          unit: units(row.bars),
          rung: rungs(row.sitting)(row.quarters),
        };
        return row.underrun === 1 ? { ...pass, underrun: true } : pass;
      });
  };
}

/** Tempos have two decimals at most; quarter notes a minute may have lost the last of a double's. */
const asPlayed = (bpm: Bpm): Bpm => Math.round(bpm * 1e6) / 1e6;

/** Looks a thing up the first time it is asked for. */
export function onceEach<K, T>(look: (of: K) => T): (of: K) => T {
  const known = new Map<K, T>();
  return (of) => {
    if (!known.has(of)) known.set(of, look(of));
    return known.get(of)!;
  };
}
