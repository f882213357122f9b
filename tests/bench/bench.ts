// What a row of the bench is: a figure, its goal, and the peer measured in the same run.

export interface BenchGoal {
  readonly at: '<=' | '>=';
  readonly value: number;
}

export interface BenchFigure {
  readonly value: number;
  /** Something outside the project doing the same work in the same run. */
  readonly peer?: { readonly name: string; readonly value: number };
  /** What a reader must know to trust the figure: sizes, sources, shortfalls. */
  readonly note?: string;
}

export interface BenchRow {
  /** Kebab-case, unique; `--only` takes it or its beginning. */
  readonly name: string;
  /** What is measured, in words. */
  readonly what: string;
  readonly unit: string;
  readonly goal?: BenchGoal;
  /** @throws Error when the figure cannot be measured here; the row is then printed as not measured, never as held. */
  measure(): Promise<BenchFigure>;
}

/** The q-quantile (0–1) of values, by linear interpolation; values need not be sorted. */
export function quantile(values: readonly number[], q: number): number {
  if (values.length === 0) throw new RangeError('quantile: no values');
  const sorted = values.toSorted((a, b) => a - b);
  const at = (sorted.length - 1) * q;
  const low = sorted[Math.floor(at)]!;
  const high = sorted[Math.ceil(at)]!;
  return low + (high - low) * (at - Math.floor(at));
}

/** Milliseconds of each of `runs` calls, after `warmUp` uncounted ones. */
export async function timeRuns(
  runs: number,
  work: () => unknown,
  warmUp = Math.min(3, runs),
): Promise<number[]> {
  for (let i = 0; i < warmUp; i++) await work();
  const times: number[] = [];
  for (let i = 0; i < runs; i++) {
    const start = performance.now();
    await work();
    times.push(performance.now() - start);
  }
  return times;
}
