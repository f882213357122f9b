// How a fact of the log stands in the database: as text, with a check sum, so that a changed bit is noticed.
import { crc32 } from 'node:zlib';
import { parseUnitKey, unitKey } from '../../../core/units/keys.ts';
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

export const sumOf = (text: string): number => crc32(text);
export const sumOfPass = ({ id, sitting, record }: StoredPass): number =>
  crc32(`${id}\n${sitting}\n${record}`);

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

export const storeUnit = (unit: PlayedUnit): string => JSON.stringify(unit);
export const storeAmendment = (amendment: Amendment): string => JSON.stringify(amendment);

/** The passes with the keys of their units as they are written now: keys had other words before. */
export function withCurrentKeys(passes: readonly PassRecord[]): PassRecord[] {
  const current = new Map<string, string>();
  return passes.map((pass) => {
    const { key } = pass.unit;
    if (!current.has(key)) current.set(key, currentKey(key));
    const now = current.get(key)!;
    return now === key ? pass : { ...pass, unit: { ...pass.unit, key: now } };
  });
}

function currentKey(key: string): string {
  const read = parseUnitKey(key);
  return read.ok ? unitKey(read.value) : key;
}

/** Words that keys of units begin with, old and new. */
const RENAMED = new Map([
  ['join', 'join'],
  ['line', 'lead'],
  ['hardest', 'hardest'],
]);

/** What a unit is found by: one text for its key in old and in new words. */
export function searchedKey(key: string): string {
  const at = key.indexOf(':');
  const word = RENAMED.get(key.slice(0, at));
  return word === undefined ? key : word + key.slice(at);
}
