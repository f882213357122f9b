// Prints the table of figures: goal, measured, peer, ratio. `--only NAME` runs one row (or every row
// whose name starts so; several with commas between); `--repeat N` measures each N times and takes the median; `--json FILE` also writes them with
// the machine they were measured on; `--against FILE` sets them beside those of such a file, and `--results FILE`
// takes them from one rather than measuring.
import { readdir, readFile, writeFile } from 'node:fs/promises';
import os from 'node:os';
import { parseArgs } from 'node:util';
import type { BenchFigure, BenchGoal, BenchRow } from './bench.ts';
import { median } from '../../app/core/base/median.ts';
import { compare, type SavedRow, tableOf } from './compare.ts';

interface Outcome {
  readonly row: BenchRow;
  readonly figure?: BenchFigure;
  /** Of every time it was measured. */
  readonly values?: readonly number[];
  readonly error?: string;
}

async function main(): Promise<number> {
  const { values: options } = parseArgs({
    options: {
      only: { type: 'string', default: '' },
      repeat: { type: 'string', default: '1' },
      json: { type: 'string' },
      against: { type: 'string' },
      results: { type: 'string' },
    },
  });
  if (options.results !== undefined) {
    if (options.against === undefined) {
      console.error('--results FILE is set beside another file: say --against FILE, too.');
      return 2;
    }
    printAgainst(await saved(options.against), await saved(options.results));
    return 0;
  }
  const times = Number(options.repeat);
  if (!Number.isInteger(times) || times < 1) {
    console.error(`--repeat is a whole number from 1, not ‘${options.repeat}’.`);
    return 2;
  }
  // Read first: nobody waits for figures to hear that there is no such file.
  const before = options.against === undefined ? undefined : await saved(options.against);
  const asked = options.only.split(',');
  const isAsked = ({ name }: { readonly name: string }): boolean =>
    asked.some((start) => name.startsWith(start));
  const rows = (await loadRows()).filter(isAsked);
  if (rows.length === 0) {
    console.error(`No bench row is named ‘${options.only}’. Run without --only to see them all.`);
    return 2;
  }
  const outcomes: Outcome[] = [];
  printLine('row', 'goal', 'measured', 'peer', 'ratio', 'holds');
  for (const row of rows) {
    const outcome = await measure(row, times);
    outcomes.push(outcome);
    printOutcome(outcome);
  }
  if (options.json) {
    const results = { machine: machine(), rows: outcomes.map(toJson) };
    await writeFile(options.json, JSON.stringify(results, null, 2) + '\n');
  }
  if (before) {
    printAgainst(before.filter(isAsked), outcomes.map(toJson));
  }
  return outcomes.some((outcome) => outcome.error !== undefined) ? 1 : 0;
}

async function loadRows(): Promise<BenchRow[]> {
  const folder = new URL('rows/', import.meta.url);
  const files = (await readdir(folder)).filter((name) => name.endsWith('.ts')).sort();
  const modules = await Promise.all(
    files.map((file) => import(new URL(file, folder).href) as Promise<{ rows: BenchRow[] }>),
  );
  return modules.flatMap((module) => module.rows);
}

/** @throws Error when the file is none that `--json` wrote. */
async function saved(file: string): Promise<readonly SavedRow[]> {
  const notOne = (why: string): Error =>
    new Error(`${file} ${why}. A file of results is written by --json FILE.`);
  const text = await readFile(file, 'utf8').catch(() => {
    throw notOne('cannot be read');
  });
  try {
    const { rows } = JSON.parse(text) as { rows?: readonly SavedRow[] };
    if (rows && Array.isArray(rows)) return rows;
  } catch {
    // Told below.
  }
  throw notOne('holds no rows');
}

function printAgainst(before: readonly SavedRow[], after: readonly SavedRow[]): void {
  console.log('\nbefore and after');
  for (const cells of tableOf(compare(before, after))) printCells([34, 12, 12, 12, 16, 20], cells);
}

/** The figure of the middle one of several, with every value. */
async function measure(row: BenchRow, times: number): Promise<Outcome> {
  try {
    const figures: BenchFigure[] = [];
    for (let n = 0; n < times; n++) figures.push(await row.measure());
    const values = figures.map(({ value }) => value);
    const value = median(values);
    const middle = figures.toSorted(
      (a, b) => Math.abs(a.value - value) - Math.abs(b.value - value),
    )[0]!;
    return { row, figure: { ...middle, value }, values };
  } catch (error) {
    return { row, error: error instanceof Error ? error.message : String(error) };
  }
}

function printOutcome({ row, figure, error }: Outcome): void {
  if (!figure) {
    printLine(row.name, goalText(row), 'not measured', '', '', '');
    console.log(`    ${row.what}: ${error}`);
    return;
  }
  const peer = figure.peer ? `${figure.peer.name}: ${round(figure.peer.value)}` : '';
  const verdict = holds(figure, row.goal);
  printLine(
    row.name,
    goalText(row),
    `${round(figure.value)} ${row.unit}`,
    peer,
    ratio(figure) === undefined ? '' : String(round(ratio(figure)!)),
    verdict === undefined ? '' : verdict ? 'yes' : 'NO',
  );
  console.log(`    ${row.what}${figure.note ? ` (${figure.note})` : ''}`);
}

const printLine = (...cells: string[]): void => printCells([34, 12, 20, 34, 9, 5], cells);

function printCells(widths: readonly number[], cells: readonly string[]): void {
  console.log(
    cells
      .map((cell, i) => cell.padEnd(widths[i] ?? 0))
      .join('  ')
      .trimEnd(),
  );
}

const goalText = (row: BenchRow): string =>
  row.goal ? `${row.goal.at} ${row.goal.value} ${row.unit}` : '';

function holds(figure: BenchFigure, goal?: BenchGoal): boolean | undefined {
  if (!goal) return undefined;
  return goal.at === '<=' ? figure.value <= goal.value : figure.value >= goal.value;
}

/** Measured over peer. */
function ratio(figure: BenchFigure): number | undefined {
  return figure.peer && figure.peer.value !== 0 ? figure.value / figure.peer.value : undefined;
}

const round = (value: number): number => Number(value.toPrecision(4));

const machine = (): object => ({
  processor: os.cpus()[0]?.model ?? 'unknown',
  cores: os.availableParallelism(),
  memory: `${Math.round(os.totalmem() / 2 ** 30)} GiB`,
  system: `${os.type()} ${os.machine()}`,
  node: process.version,
});

interface ResultRow extends SavedRow {
  readonly peer: BenchFigure['peer'] | null;
  /** Measured over peer. */
  readonly ratio: number | null;
  readonly note: string | null;
}

function toJson({ row, figure, values, error }: Outcome): ResultRow {
  return {
    name: row.name,
    value: figure?.value ?? null,
    ...(values && values.length > 1 && { values }),
    unit: row.unit,
    goal: row.goal ? `${row.goal.at} ${row.goal.value}` : null,
    holds: figure ? (holds(figure, row.goal) ?? null) : false,
    peer: figure?.peer ?? null,
    ratio: (figure && ratio(figure)) ?? null,
    note: error ? `not measured: ${error}` : (figure?.note ?? null),
  };
}

process.exit(
  await main().catch((error: unknown) => {
    console.error(error instanceof Error ? error.message : error);
    return 2;
  }),
);
