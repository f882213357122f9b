// A month of the log as it was kept before: packed into columns. It is only read, when an old data folder is taken over.
import { todaysKey } from '../../../core/units/keys.ts';
import type {
  ChangeHeard,
  Amendment,
  LogEntry,
  PassRecord,
  PlayedUnit,
} from '../../../core/model/pass.ts';

/** What a run of passes shares: stored once, pointed at by index. */
export interface PackedHead {
  readonly session: string;
  readonly climb: string;
  readonly chart: PassRecord['chart'];
  readonly unit: PassRecord['unit'];
  readonly beat: PassRecord['rung']['beat'];
  readonly of: number;
  readonly target: number;
}

/** One change: bar, change, symbol indices, codes of {@link TIMINGS} and {@link CHORDS}; null is absent. */
export type PackedChange = readonly [
  bar: number,
  change: number,
  from: number,
  to: number,
  offset: number | null,
  timing: number,
  chord: number,
  heard: number | null,
  confidence: number,
];

/** Columns of equal length, one row per pass; rare fields by row number in `more` and `changes`. */
export interface PackedLog {
  readonly units: readonly PlayedUnit[];
  readonly heads: readonly PackedHead[];
  readonly id: readonly string[];
  /** ISO 8601 with offset, as recorded. */
  readonly at: readonly string[];
  /** Index into `heads`. */
  readonly head: readonly number[];
  readonly bpm: readonly number[];
  /** The rung's index on its ladder. */
  readonly rung: readonly number[];
  /** Index into {@link VERDICTS}. */
  readonly verdict: readonly number[];
  /** Index into {@link SOURCES}. */
  readonly source: readonly number[];
  /** 1 for a first pass of its unit on its day. */
  readonly cold: readonly number[];
  /** Seconds. */
  readonly duration: readonly number[];
  /** Fields few passes have (the ear's verdict, an underrun, what later versions add), by row. */
  readonly more: readonly (readonly [row: number, fields: Readonly<Record<string, unknown>>])[];
  /** Chord symbols named in `changes`. */
  readonly symbols: readonly string[];
  readonly changes: readonly (readonly [row: number, heard: readonly PackedChange[]])[];
  readonly amendments: readonly Amendment[];
}

/** Every column a month has. */
const COLUMNS = [
  'units',
  'heads',
  'id',
  'at',
  'head',
  'bpm',
  'rung',
  'verdict',
  'source',
  'cold',
  'duration',
  'more',
  'symbols',
  'changes',
  'amendments',
] as const satisfies readonly (keyof PackedLog)[];

export const VERDICTS = ['clean', 'missed', 'unjudged'] as const;
export const SOURCES = ['self', 'ear', 'pedal', 'teacher'] as const;
export const TIMINGS = ['on-time', 'early', 'late', 'silent', 'unsure'] as const;
export const CHORDS = ['right', 'held', 'other', 'muted', 'silent', 'unsure'] as const;

const NUMBER_COLUMNS = [
  'head',
  'bpm',
  'rung',
  'verdict',
  'source',
  'cold',
  'duration',
] as const satisfies readonly (keyof PackedLog)[];

/** The bars of several logs by fingerprint; the first mention of one counts. */
function unitsOf(logs: readonly PackedLog[]): Map<string, PlayedUnit> {
  const units = new Map<string, PlayedUnit>();
  for (const log of logs) {
    for (const unit of log.units) {
      if (!units.has(unit.fingerprint)) units.set(unit.fingerprint, unit);
    }
  }
  return units;
}

/** The entries that went in, passes before amendments. Heads and units are shared, not copied. */
export function unpackLog(log: PackedLog): LogEntry[] {
  const units = unitsOf([log]);
  return [
    ...unpackPasses(log).map((pass): LogEntry => ({
      kind: 'pass',
      pass,
      unit: units.get(pass.unit.fingerprint)!,
    })),
    ...log.amendments.map((amendment): LogEntry => ({ kind: 'amendment', amendment })),
  ];
}

/** The passes alone, as they were recorded: amendments are not applied. */
function unpackPasses(log: PackedLog): PassRecord[] {
  const heads = log.heads.map(inTodaysWords);
  const passes = log.id.map((_, row) => unpackPass(log, heads[log.head[row]!]!, row));
  for (const [row, rare] of log.more) Object.assign(passes[row]!, rare);
  for (const [row, heard] of log.changes) {
    const changes = heard.map((packed) => unpackChange(packed, log.symbols));
    Object.assign(passes[row]!, { changes });
  }
  return passes;
}

const inTodaysWords = (head: PackedHead): PackedHead => ({
  ...head,
  unit: { ...head.unit, key: todaysKey(head.unit.key) },
});

const unpackPass = (log: PackedLog, head: PackedHead, row: number): PassRecord => ({
  id: log.id[row]!,
  at: log.at[row]!,
  session: head.session,
  climb: head.climb,
  chart: head.chart,
  unit: head.unit,
  rung: {
    bpm: log.bpm[row]!,
    beat: head.beat,
    index: log.rung[row]!,
    of: head.of,
    target: head.target,
  },
  verdict: VERDICTS[log.verdict[row]!]!,
  source: SOURCES[log.source[row]!]!,
  cold: log.cold[row] === 1,
  duration: log.duration[row]!,
});

function unpackChange(packed: PackedChange, symbols: readonly string[]): ChangeHeard {
  const [bar, change, from, to, offset, timing, chord, heard, confidence] = packed;
  return {
    bar,
    change,
    from: symbols[from]!,
    to: symbols[to]!,
    ...(offset === null ? {} : { offset }),
    timing: TIMINGS[timing]!,
    chord: CHORDS[chord]!,
    ...(heard === null ? {} : { heard: symbols[heard]! }),
    confidence,
  };
}

/** What is wrong with something that should be a packed log; undefined when nothing is. */
export function flawOfPackedLog(raw: Readonly<Record<string, unknown>>): string | undefined {
  const log = raw as unknown as PackedLog;
  const absent = COLUMNS.find((key) => !Array.isArray(raw[key]));
  if (absent) return `‘${absent}’ is not a list`;
  const rows = log.id.length;
  const short = [...NUMBER_COLUMNS, 'at' as const].find((key) => log[key].length !== rows);
  if (short) return `‘${short}’ has ${log[short].length} rows where ‘id’ has ${rows}`;
  return flawOfRows(log) ?? flawOfHeads(log) ?? flawOfRareRows(log);
}

function flawOfRows(log: PackedLog): string | undefined {
  const text = (['id', 'at'] as const).find((key) => !log[key].every((v) => typeof v === 'string'));
  if (text) return `‘${text}’ holds something that is not text`;
  const number = NUMBER_COLUMNS.find((key) => !log[key].every(Number.isFinite));
  if (number) return `‘${number}’ holds something that is not a number`;
  if (!log.head.every((at) => at in log.heads)) return '‘head’ points outside ‘heads’';
  if (!log.verdict.every((at) => at in VERDICTS)) return '‘verdict’ holds an unknown code';
  if (!log.source.every((at) => at in SOURCES)) return '‘source’ holds an unknown code';
  if (log.at.some((at) => Number.isNaN(Date.parse(at)))) return '‘at’ holds an impossible date';
  return undefined;
}

function flawOfHeads(log: PackedLog): string | undefined {
  const fingerprints = new Set(log.units.map((unit) => unit?.fingerprint));
  for (const head of log.heads) {
    if (typeof head?.chart?.title !== 'string') return '‘heads’ holds one without a chart';
    if (!fingerprints.has(head.unit?.fingerprint)) return '‘units’ lacks the bars of a head';
  }
  return undefined;
}

function flawOfRareRows(log: PackedLog): string | undefined {
  const isRow = (entry: unknown): boolean =>
    Array.isArray(entry) && entry.length === 2 && (entry[0] as number) in log.id;
  if (!log.more.every(isRow)) return '‘more’ points outside the passes';
  if (!log.changes.every((entry) => isRow(entry) && Array.isArray(entry[1]))) {
    return '‘changes’ points outside the passes';
  }
  return log.amendments.every(isAmendment)
    ? undefined
    : '‘amendments’ holds something that is not one';
}

const isAmendment = (a: Partial<Amendment> | null): boolean =>
  typeof a?.amends === 'string' &&
  !Number.isNaN(Date.parse(a.at ?? '')) &&
  [...VERDICTS, 'as-before'].includes(a.verdict ?? '') &&
  SOURCES.some((source) => source === a.source);
