// Prints the table of figures: goal, measured, peer, ratio. `--only NAME` runs one row (or every row
// whose name starts so); `--json FILE` also writes them with the machine they were measured on.
import { readdir, writeFile } from 'node:fs/promises';
import os from 'node:os';
import { parseArgs } from 'node:util';
import type { BenchFigure, BenchGoal, BenchRow } from './bench.ts';

interface Outcome {
  readonly row: BenchRow;
  readonly figure?: BenchFigure;
  readonly error?: string;
}

async function main(): Promise<number> {
  const { values: options } = parseArgs({
    options: { only: { type: 'string' }, json: { type: 'string' } },
  });
  const rows = (await loadRows()).filter((row) => row.name.startsWith(options.only ?? ''));
  if (rows.length === 0) {
    console.error(`No bench row is named ‘${options.only}’. Run without --only to see them all.`);
    return 2;
  }
  const outcomes: Outcome[] = [];
  printLine('row', 'goal', 'measured', 'peer', 'ratio', 'holds');
  for (const row of rows) {
    const outcome = await measure(row);
    outcomes.push(outcome);
    printOutcome(outcome);
  }
  if (options.json) {
    const results = { machine: machine(), rows: outcomes.map(toJson) };
    await writeFile(options.json, JSON.stringify(results, null, 2) + '\n');
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

async function measure(row: BenchRow): Promise<Outcome> {
  try {
    return { row, figure: await row.measure() };
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

function printLine(...cells: string[]): void {
  const widths = [34, 12, 20, 34, 9, 5];
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

function toJson({ row, figure, error }: Outcome): object {
  return {
    name: row.name,
    value: figure?.value ?? null,
    unit: row.unit,
    goal: row.goal ? `${row.goal.at} ${row.goal.value}` : null,
    holds: figure ? (holds(figure, row.goal) ?? null) : false,
    peer: figure?.peer ?? null,
    ratio: (figure && ratio(figure)) ?? null,
    note: error ? `not measured: ${error}` : (figure?.note ?? null),
  };
}

process.exit(await main());
