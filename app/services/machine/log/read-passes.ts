// Passes out of the log: those that a question names, and those on which it rests where some bars stand.
import type { DatabaseSync } from 'node:sqlite';
import type { IsoDate } from '../../../core/base/units.ts';
import { byId, settlePasses } from '../../../core/log/history.ts';
import { wordsOn } from '../../../core/log/teachers-word.ts';
import type { Amendment, PassRecord, WordOnPass } from '../../../core/model/pass.ts';
import { LookBack } from '../../../core/progress/look-back.ts';
import type { PassQuery } from '../../contract/log-queries.ts';
import { allOf, keyIn, type Pairs, pairsIn, type Where } from './pairs.ts';
import {
  restorePass,
  type Sittings,
  type StoredPass,
  sumOf,
  sumOfPass,
  withCurrentKeys,
} from './stored-form.ts';
import { prepared } from './prepared.ts';

export interface FoundPasses {
  /** Settled, in time order. */
  readonly passes: readonly PassRecord[];
  /** Records that were changed by a fault: they are left out. */
  readonly changed: number;
}

const HALF_DAY_MS = 43_200_000;
/** The moments that a calendar day may hold, whatever the time zone (they lie between -12 and +14 hours). */
const opening = (date: string | undefined) =>
  date === undefined ? undefined : Date.parse(date) - 14 * 3_600_000;
const closing = (date: string | undefined) =>
  date === undefined ? undefined : Date.parse(date) + 3 * HALF_DAY_MS;

/** Units of a desk. */
const UNITS = 'select ref from units where desk = (select ref from desks where name = ?)';

/**
 * Which passes are asked for, said so that SQLite goes by the narrowest index: the bars, else the unit, else the desk
 * in order of moments.
 */
export function passesIn(database: DatabaseSync, query: PassQuery): Where {
  return both(placeOf(database, query), timeOf(query));
}

function placeOf(database: DatabaseSync, { desk, chart, unit, bars }: PassQuery): Where {
  if (bars !== undefined) return pairsIn(database, { desk, chart, unit, bars: [bars] }).where;
  if (chart === undefined && unit === undefined)
    return { text: 'passes.desk = (select ref from desks where name = ?)', values: [desk] };
  const { text, values } = allOf(['chart = ?', chart], ['unit = ?', keyIn(unit)]);
  return { text: `passes.unit in (${UNITS} and ${text})`, values: [desk, ...values] };
}

/** The days that count, and the judge. */
export const timeOf = ({
  since,
  until,
  judge,
}: Pick<PassQuery, 'since' | 'until' | 'judge'>): Where =>
  allOf(
    ['passes.day >= ?', since],
    ['passes.day <= ?', until],
    // The log is in order of moments, not of days.
    ['passes.instant >= ?', opening(since)],
    ['passes.instant < ?', closing(until)],
    ["passes.verdict <> 'unjudged' and passes.source = ?", judge],
  );

/** Where both hold. */
export const both = (one: Where, other: Where): Where =>
  other.text === ''
    ? one
    : { text: `${one.text} and ${other.text}`, values: [...one.values, ...other.values] };

type PassRow = Omit<StoredPass, 'sitting'> & {
  readonly row: number;
  readonly desk: number;
  readonly sum: number;
  readonly instant: number;
  readonly day: IsoDate;
  readonly sitting: number;
  readonly amended: 0 | 1;
};

/** A sitting's text is long and shared by many passes: it is fetched once. */
const PASSES = `select row, desk, id, record, sum, instant, day, sitting,
  exists (select 1 from amendments where desk = passes.desk and pass = passes.id) as amended from passes`;
/** Before a moment and id. */
const UP_TO = '(passes.instant, passes.id) < (?, ?)';
/** Alike on every machine, whatever order the passes came in. */
const NEWEST_FIRST = 'order by passes.instant desc, passes.id desc';

/** In order of time; of more than `latest` only the last ones. */
export const readPasses = (database: DatabaseSync, query: PassQuery): FoundPasses =>
  readWhere(database, passesIn(database, query), query.latest);

/** @param latest so many of the latest only */
export function readWhere(database: DatabaseSync, where: Where, latest?: number): FoundPasses {
  const rows = prepared(
    database,
    `${PASSES} where ${where.text} ${latest === undefined ? '' : `${NEWEST_FIRST} limit ?`}`,
  ).all(...where.values, ...(latest === undefined ? [] : [latest])) as unknown as PassRow[];
  // Without an order SQLite takes the index that finds them.
  rows.sort((a, b) => a.instant - b.instant || byId(a, b));
  const restorer = new Restorer(database);
  return restorer.found(rows.flatMap((row) => restorer.restore(row) ?? []));
}

/** The teacher's words on passes of a desk, in the order of the passes. */
export function readWords(database: DatabaseSync, desk: string): readonly WordOnPass[] {
  const rows = prepared(
    database,
    `${PASSES} where passes.desk = (select ref from desks where name = ?) and id in
         (select pass from amendments where desk = passes.desk and record ->> '$.source' = 'teacher')
       order by instant, id`,
  ).all(desk) as unknown as PassRow[];
  const restorer = new Restorer(database);
  return wordsOn(rows.flatMap((row) => restorer.restore(row) ?? []));
}

/** Passes read at a time: some more than a month of practice has. */
const STRETCH = 320;

/**
 * The passes that say where some bars stand as of a day, also those after it: what is left out would change nothing.
 * Of several versions of the bars all are read, since the level is that of the latest version alone.
 */
export function readLately(
  database: DatabaseSync,
  { where, prints }: Pairs,
  asOf: IsoDate,
): readonly PassRecord[] {
  if (prints > 1) return readWhere(database, where).passes;
  const restorer = new Restorer(database);
  const newest = prepared(
    database,
    `${PASSES} where ${where.text} and ${UP_TO} ${NEWEST_FIRST} limit ?`,
  );
  const reach = new LookBack(asOf);
  const passes: PassRecord[] = [];
  let [instant, id] = [Number.MAX_SAFE_INTEGER, ''];
  for (;;) {
    const rows = newest.all(...where.values, instant, id, STRETCH) as unknown as PassRow[];
    for (const one of rows) {
      const pass = restorer.restore(one);
      if (pass && reach.isBeyond(pass)) return restorer.found(passes.reverse()).passes;
      if (pass) passes.push(pass);
    }
    const last = rows.at(-1);
    if (!last || rows.length < STRETCH) return restorer.found(passes.reverse()).passes;
    ({ instant, id } = last);
    const lacking = reach.coldDaysLacking;
    if (lacking === undefined) continue;
    // Where the first pass of a day is seldom judged, a whole log would be read for few of them.
    passes.push(...coldDays(database, restorer, where, last, lacking));
    return restorer.found(passes.reverse()).passes;
  }
}

/** Before a pass: the rest of its day, and so many of the last days that hold a judged cold one; newest first. */
function coldDays(
  database: DatabaseSync,
  restorer: Restorer,
  { text, values }: Where,
  { instant, id, day }: PassRow,
  count: number,
): PassRecord[] {
  const asked = [...values, instant, id];
  const cold = prepared(
    database,
    `select day from passes where ${text} and ${UP_TO} and verdict <> 'unjudged'
         and record ->> '$.cold' and record ->> '$.underrun' is not 1 ${NEWEST_FIRST}`,
  ).iterate(...asked) as Iterable<{ readonly day: IsoDate }>;
  const found = new Set<IsoDate>();
  for (const one of cold) {
    found.add(one.day);
    if (found.size >= count) break;
  }
  const days = [day, ...found];
  const rows = prepared(
    database, // The first moment spares SQLite from looking at all that is older.
    `${PASSES} where ${text} and ${UP_TO} and passes.instant >= ?
         and day in (${days.map(() => '?').join()}) ${NEWEST_FIRST}`,
  ).all(...asked, opening(days.toSorted()[0])!, ...days) as unknown as PassRow[];
  return rows.flatMap((one) => restorer.restore(one) ?? []);
}

/** Makes passes of rows, with what was said on them later; what is not what was written is left out and counted. */
class Restorer {
  readonly #sitting;
  readonly #words;
  readonly #texts = new Map<number, string>();
  readonly #sittings: Sittings = new Map();
  #changed = 0;

  constructor(database: DatabaseSync) {
    this.#sitting = prepared(database, 'select record from sittings where ref = ?');
    this.#words = prepared(
      database,
      'select record, sum from amendments where desk = ? and pass = ? order by row',
    );
  }

  found = (passes: readonly PassRecord[]): FoundPasses => ({
    passes: withCurrentKeys(passes),
    changed: this.#changed,
  });

  restore(row: PassRow): PassRecord | undefined {
    const stored = { id: row.id, record: row.record, sitting: this.#textOf(row.sitting) };
    if (sumOfPass(stored) !== row.sum) {
      this.#changed++;
      return undefined;
    }
    const pass = restorePass(stored, this.#sittings);
    return row.amended ? this.#settled(pass, row) : pass;
  }

  #settled(pass: PassRecord, { desk, id }: PassRow): PassRecord {
    const said = this.#words.all(desk, id) as unknown as { record: string; sum: number }[];
    const whole = said.filter(({ record, sum }) => sumOf(record) === sum);
    this.#changed += said.length - whole.length;
    const words = whole.map(({ record }) => JSON.parse(record) as Amendment);
    return settlePasses([pass], words)[0]!;
  }

  #textOf(sitting: number): string {
    const known = this.#texts.get(sitting);
    if (known !== undefined) return known;
    const { record } = this.#sitting.get(sitting) as { record: string };
    this.#texts.set(sitting, record);
    return record;
  }
}
