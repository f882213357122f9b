// Two runs of the bench side by side: what became better or worse by more than its figures differ among themselves.

/** A row as `--json` writes it. */
export interface SavedRow {
  readonly name: string;
  /** Null where it could not be measured. */
  readonly value: number | null;
  readonly unit: string;
  readonly goal: string | null;
  readonly holds?: boolean | null;
  /** Every figure, where the row was measured more than once (`--repeat`); `value` is their median. */
  readonly values?: readonly number[];
}

export type Change =
  /** By more than the noise, in the goal's direction or against it. */
  | 'better'
  | 'worse'
  /** By more than the noise; neither a goal nor the unit says which way is good. */
  | 'other'
  | 'same'
  /** The figures differ and neither run measured more than once: nobody knows the noise. */
  | 'unknown'
  | 'new'
  | 'gone'
  | 'not measured';

export interface Compared {
  readonly name: string;
  readonly unit: string;
  readonly before: number | null;
  readonly after: number | null;
  /** How far figures of one run lie apart; undefined where no run measured more than once. */
  readonly noise?: number;
  readonly change: Change;
}

/** Rows in the order of `after`, then those that are gone. */
export function compare(before: readonly SavedRow[], after: readonly SavedRow[]): Compared[] {
  const old = new Map(before.map((row) => [row.name, row]));
  const names = new Set(after.map(({ name }) => name));
  return [
    ...after.map((row) => compareRow(old.get(row.name), row)),
    ...before.filter(({ name }) => !names.has(name)).map((row) => compareRow(row, undefined)),
  ];
}

function compareRow(before: SavedRow | undefined, after: SavedRow | undefined): Compared {
  const { name, unit } = (after ?? before)!;
  const noise = noiseOf(before, after);
  return {
    name,
    unit,
    before: before?.value ?? null,
    after: after?.value ?? null,
    ...(noise !== undefined && { noise }),
    change: changeOf(before, after, noise),
  };
}

function changeOf(before?: SavedRow, after?: SavedRow, noise?: number): Change {
  if (!before) return 'new';
  if (!after) return 'gone';
  if (before.value === null || after.value === null) return 'not measured';
  const by = after.value - before.value;
  if (by === 0) return 'same';
  if (noise === undefined) return 'unknown';
  if (Math.abs(by) <= noise) return 'same';
  const goal = after.goal ?? before.goal;
  if (!goal && !LESS_IS_BETTER.has(after.unit)) return 'other';
  const less = !goal || goal.startsWith('<');
  return by < 0 === less ? 'better' : 'worse';
}

/** Times and sizes, which need no goal to say which way is good. */
const LESS_IS_BETTER: ReadonlySet<string> = new Set(['ms', 's', 'kB', 'MB']);

/** The wider of the two runs' spreads. */
function noiseOf(...rows: readonly (SavedRow | undefined)[]): number | undefined {
  const spreads = rows.flatMap((row) =>
    row?.values && row.values.length > 1 ? [Math.max(...row.values) - Math.min(...row.values)] : [],
  );
  return spreads.length > 0 ? Math.max(...spreads) : undefined;
}

const WORDS: Readonly<Record<Change, string>> = {
  better: 'better than noise',
  worse: 'WORSE than noise',
  other: 'another figure',
  same: 'within noise',
  unknown: 'noise not known',
  new: 'new',
  gone: 'gone',
  'not measured': 'not measured',
};

/** A line per row: name, before, after, noise, and what became of it. */
export function tableOf(rows: readonly Compared[]): readonly (readonly string[])[] {
  const shown = (value: number | null | undefined): string =>
    value === null || value === undefined ? '–' : String(Number(value.toPrecision(4)));
  return [
    ['row', 'before', 'after', '±', 'unit', ''],
    ...rows.map(({ name, unit, before, after, noise, change }) => [
      ...[name, shown(before), shown(after), shown(noise), unit, WORDS[change]],
    ]),
  ];
}
