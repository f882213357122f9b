// Writes the log in the form it had before, for tests of the take-over.
import type { ChangeHeard, LogEntry, PassRecord, PlayedUnit } from '../../app/core/model/pass.ts';
import {
  CHORDS,
  type PackedChange,
  type PackedHead,
  type PackedLog,
  SOURCES,
  TIMINGS,
  VERDICTS,
} from '../../app/services/machine/old-form/packed-log.ts';

/** Packs entries in the order given. Each unit is kept once per fingerprint, each run's head once. */
export function packLog(entries: Iterable<LogEntry>): PackedLog {
  const packed = emptyColumns();
  const units = new Map<string, PlayedUnit>();
  const heads = new Index<PackedHead>(sameHead);
  const symbols = new Index<string>(Object.is);
  for (const entry of entries) {
    if (entry.kind === 'amendment') {
      packed.amendments.push(entry.amendment);
      continue;
    }
    if (!units.has(entry.unit.fingerprint)) units.set(entry.unit.fingerprint, entry.unit);
    packPass(packed, entry.pass, heads, symbols);
  }
  return { ...packed, units: [...units.values()], heads: heads.all, symbols: symbols.all };
}

type Columns = { -readonly [K in keyof PackedLog]: PackedLog[K][number][] };

const emptyColumns = (): Columns => ({
  units: [],
  heads: [],
  id: [],
  at: [],
  head: [],
  bpm: [],
  rung: [],
  verdict: [],
  source: [],
  cold: [],
  duration: [],
  more: [],
  symbols: [],
  changes: [],
  amendments: [],
});

function packPass(
  columns: Columns,
  pass: PassRecord,
  heads: Index<PackedHead>,
  symbols: Index<string>,
): void {
  const { id, at, session, climb, chart, unit, rung, verdict, source, cold, duration, ...rest } =
    pass;
  const { changes, ...more } = rest;
  const row = columns.id.length;
  columns.id.push(id);
  columns.at.push(at);
  const { beat, of, target } = rung;
  columns.head.push(heads.of({ session, climb, chart, unit, beat, of, target }));
  columns.bpm.push(rung.bpm);
  columns.rung.push(rung.index);
  columns.verdict.push(VERDICTS.indexOf(verdict));
  columns.source.push(SOURCES.indexOf(source));
  columns.cold.push(cold ? 1 : 0);
  columns.duration.push(duration);
  if (Object.keys(more).length > 0) columns.more.push([row, more]);
  if (changes) columns.changes.push([row, changes.map((heard) => packChange(heard, symbols))]);
}

const packChange = (change: ChangeHeard, symbols: Index<string>): PackedChange => [
  change.bar,
  change.change,
  symbols.of(change.from),
  symbols.of(change.to),
  change.offset ?? null,
  TIMINGS.indexOf(change.timing),
  CHORDS.indexOf(change.chord),
  change.heard === undefined ? null : symbols.of(change.heard),
  change.confidence,
];

/** Values in order of first use, found again by their JSON. */
class Index<T> {
  readonly all: T[] = [];
  readonly #known = new Map<string, number>();
  readonly #alike: (a: T, b: T) => boolean;
  #before = -1;

  /** @param alike true only where the JSON is the same: neighbours often are, and then need none. */
  constructor(alike: (a: T, b: T) => boolean) {
    this.#alike = alike;
  }

  of(value: T): number {
    if (this.#before >= 0 && this.#alike(this.all[this.#before]!, value)) return this.#before;
    return (this.#before = this.#find(value));
  }

  #find(value: T): number {
    const key = JSON.stringify(value);
    const known = this.#known.get(key);
    if (known !== undefined) return known;
    this.#known.set(key, this.all.length);
    return this.all.push(value) - 1;
  }
}

const sameHead = (a: PackedHead, b: PackedHead): boolean =>
  a.session === b.session &&
  a.climb === b.climb &&
  a.beat === b.beat &&
  a.of === b.of &&
  a.target === b.target &&
  sameFields(a.chart, b.chart) &&
  sameFields(a.unit, b.unit);

/** Fields that later versions add count too; where one is no plain value, the JSON decides. */
function sameFields<T extends object>(a: T, b: T): boolean {
  const keys = Object.keys(a) as (keyof T)[];
  return keys.length === Object.keys(b).length && keys.every((key) => a[key] === b[key]);
}
