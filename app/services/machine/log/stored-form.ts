// How a fact of the log stands in the database: as text, with a check sum, so that a changed bit is noticed.
import { crc32 } from 'node:zlib';
import { todaysKey } from '../../../core/units/keys.ts';
import type { Amendment, PassRecord, PlayedUnit } from '../../../core/model/pass.ts';

/** What the passes of one go at a ladder share, kept once. */
interface Sitting {
  readonly session: string;
  readonly climb: string;
  readonly chart: PassRecord['chart'];
  readonly unit: PassRecord['unit'];
  readonly rung: Pick<PassRecord['rung'], 'beat' | 'of' | 'target'>;
}

export interface StoredPass {
  readonly id: string;
  /** JSON of what the sitting does not say. */
  readonly record: string;
  /** JSON of a {@link Sitting}. */
  readonly sitting: string;
}

/** The CRC-32 of a text in UTF-8, 0 to 2^32 − 1: it tells damage, not forgery. */
export const sumOf = (text: string): number => crc32(text);

/** The {@link sumOf} of a pass as it is stored, its sitting included. */
export const sumOfPass = ({ id, sitting, record }: StoredPass): number =>
  crc32(`${id}\n${sitting}\n${record}`);

/** The pass as text, apart from what all passes of a sitting share; `restorePass` is the inverse. */
export function storePass(pass: PassRecord): StoredPass {
  const { id, session, climb, chart, unit, rung, ...own } = pass;
  const { beat, of, target, ...place } = rung;
  const sitting: Sitting = { session, climb, chart, unit, rung: { beat, of, target } };
  return {
    id,
    record: JSON.stringify({ ...own, rung: place }),
    sitting: JSON.stringify(sitting),
  };
}

export type Sittings = Map<string, Sitting>;

/** The pass as it was recorded. @param sittings parsed already, by their text: neighbours share theirs. */
export function restorePass(stored: StoredPass, sittings: Sittings = new Map()): PassRecord {
  const known = sittings.get(stored.sitting);
  const sitting = known ?? (JSON.parse(stored.sitting) as Sitting);
  if (!known) sittings.set(stored.sitting, sitting);
  const { session, climb, chart, unit, rung: shared } = sitting;
  const { rung, ...own } = JSON.parse(stored.record) as Pick<PassRecord, 'rung'>;
  const { id } = stored;
  return { id, ...own, session, climb, chart, unit, rung: { ...rung, ...shared } } as PassRecord;
}

/** The bars as played, as text. */
export const storeUnit = (unit: PlayedUnit): string => JSON.stringify(unit);
/** The later word, as text. */
export const storeAmendment = (amendment: Amendment): string => JSON.stringify(amendment);

/** The passes with the keys of their units as they are written now: keys had other words before. */
export const withCurrentKeys = (passes: readonly PassRecord[]): PassRecord[] =>
  passes.map((pass) => {
    const key = todaysKey(pass.unit.key);
    return key === pass.unit.key ? pass : { ...pass, unit: { ...pass.unit, key } };
  });
