// Which units were played on which bars, each pair with a mark that is another as soon as anything is written of it.
import type { DatabaseSync, SQLInputValue } from 'node:sqlite';
import { todaysKey } from '../../../core/units/keys.ts';
import { prepared } from './prepared.ts';

export interface Where {
  readonly text: string;
  readonly values: readonly SQLInputValue[];
}

/** Conditions that are all to hold; those whose value is absent are left out. */
export function allOf(
  ...parts: readonly (readonly [text: string, value: SQLInputValue | undefined])[]
): Where {
  const asked = parts.filter(([, value]) => value !== undefined);
  return {
    text: asked.map(([text]) => text).join(' and '),
    values: asked.map(([, value]) => value!),
  };
}

/** What a unit is found by, where one is asked for. */
export const keyIn = (unit: string | undefined): string | undefined =>
  unit === undefined ? undefined : todaysKey(unit);

export interface PairsAsked {
  readonly desk: string;
  readonly chart?: string | undefined;
  /** Key of a unit. */
  readonly unit?: string | undefined;
  /** Fingerprints of bars. */
  readonly bars?: readonly string[] | undefined;
}

export interface Pairs {
  /** Triggers of the log draw it anew with every change, so it stays the same only while all that was said of these does. */
  readonly mark: string;
  /** Their passes. */
  readonly where: Where;
  /** How many versions of the bars. */
  readonly prints: number;
}

interface Row {
  readonly unit: number;
  readonly bars: number;
  readonly changed: string;
}

const PLAYED = 'from units join played on played.unit = units.ref where';

const asked = ({ desk, chart, unit, bars }: PairsAsked): Where =>
  allOf(
    ['units.desk = (select ref from desks where name = ?)', desk],
    ['units.chart = ?', chart],
    ['units.unit = ?', keyIn(unit)],
    [
      'played.bars in (select ref from bars where fingerprint in (select value from json_each(?)))',
      bars && JSON.stringify(bars),
    ],
  );

/** The rows of units and bars that a question is about, with a mark that changes whenever they do. */
export function pairsIn(database: DatabaseSync, of: PairsAsked): Pairs {
  const { text, values } = asked(of);
  const rows = prepared(
    database,
    `select played.unit, played.bars, changed ${PLAYED} ${text} order by 1, 2`,
  ).all(...values) as unknown as Row[];
  return {
    mark: rows.map(({ changed }) => changed).join(),
    where: passesOf(rows),
    prints: new Set(rows.map(({ bars: ref }) => ref)).size,
  };
}

/** One pair goes by its index, in the order of moments. */
function passesOf(rows: readonly Row[]): Where {
  const values = rows.flatMap(({ bars, unit }) => [bars, unit]);
  if (rows.length === 0) return { text: '0', values };
  if (rows.length === 1) return { text: 'passes.bars = ? and passes.unit = ?', values };
  const each = rows.map(() => '(?, ?)').join();
  return { text: `(passes.bars, passes.unit) in (values ${each})`, values };
}

/** The units of these pairs, each with the mark of all of its own. */
export function unitsPlayed(
  database: DatabaseSync,
  of: PairsAsked,
): readonly { readonly ref: number; readonly mark: string }[] {
  const { text, values } = asked(of);
  return prepared(
    database,
    `select units.ref, group_concat(changed order by played.bars) as mark
       ${PLAYED} ${text} group by units.ref`,
  ).all(...values) as unknown as { ref: number; mark: string }[];
}
