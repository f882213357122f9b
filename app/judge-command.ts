// What `npm run judge` answers: a recording judged as the ear would judge it live, as a table or JSON, or why it can't be.
import fs from 'node:fs';
import { parseArgs } from 'node:util';
import type { Chart } from './core/model/chart.ts';
import { listUnits } from './core/units/resolve.ts';
import type { Unit } from './core/model/unit.ts';
import { judgeTake, type TakeJudged } from './core/ear/judge-take.ts';
import { type Network, readNetwork } from './core/ear/network/network.ts';
import { readTake } from './core/ear/take.ts';
import { bandOf, USUAL_RULE, type VerdictRule } from './core/ear/verdict.ts';
import { changeName, changeWords } from './core/ear/words.ts';
import type { ChangeHeard } from './core/model/pass.ts';
import type { Problem } from './core/base/result.ts';
import { unitGrips } from './core/units/hands/hands.ts';
import { MAX_BPM, MIN_BPM, type Bpm, type Seconds } from './core/base/units.ts';
import { readChartBytes } from './judge-chart.ts';

const USAGE = `npm run judge -- --chart FILE --unit NAME --tempo BPM --take FILE.wav
  --chart            a chart as it is typed or kept, or a score: MusicXML (.musicxml, .mxl), MIDI; its capo counts
  [--start SECONDS]  where the unit's first bar begins in the recording; found by ear if left out
  [--within MS]      how far from its moment a change may come (usually an eighth of the beat)
  [--share PERCENT]  how many of the changes must hold (usually 90)
  [--json]           print JSON

JSON: { unit, tempo, start, relative, verdict: "clean" | "missed" | null, held, judged, unsure,
        findings: { tuning (cents), peak, clipped, shift (semitones), clicksHeard, lost (s), length (s) },
        remarks: [{ code, message, cure }],
        changes: [{ bar, change, from, to, offset (ms, late is positive), timing, chord, heard, confidence,
                    band: "tight" | "together" | "apart" }] }
bar and change count from 0; from, to and heard are the names of what is fingered, above the capo if there is one; tight is within max(6 ms, 2.5 % of the beat), together within 35 ms; "relative" means that offsets are measured from the player's own median.
Exit code: 0 judged, 1 a problem with what was asked.`;

/** What was asked cannot be done; printed without a stack. */
class Refusal extends Error {}

/** What is printed, on the standard output where it was judged, else on that for errors. */
export interface Answer {
  readonly judged: boolean;
  readonly text: string;
}

/** @param options as typed, behind the command's name. @throws Error for a fault of the program alone. */
export function answerTo(options: readonly string[]): Answer {
  try {
    const asked = readOptions(options);
    const unit = unitNamed(readChart(asked.chart), asked.unit);
    const judged = judge(unit, asked);
    const print = asked.json ? asJson : asTable;
    return { judged: true, text: print(unit.unit, asked.tempo, judged) };
  } catch (error) {
    if (!(error instanceof Refusal)) throw error;
    return { judged: false, text: error.message };
  }
}

interface Asked {
  readonly chart: string;
  readonly unit: string;
  readonly tempo: Bpm;
  readonly take: string;
  readonly start?: Seconds;
  readonly rule: VerdictRule;
  readonly json: boolean;
}

function readOptions(typed: readonly string[]): Asked {
  const { values } = parsed(typed);
  const { chart, unit, take } = values;
  if (
    chart === undefined ||
    unit === undefined ||
    take === undefined ||
    values.tempo === undefined
  ) {
    throw new Refusal(`Say which chart, unit, tempo and take.\n\n${USAGE}`);
  }
  const tempo = numberFrom('--tempo', values.tempo, MIN_BPM, MAX_BPM);
  const share =
    numberFrom('--share', values.share ?? String(100 * USUAL_RULE.share), 50, 100) / 100;
  const within = values.within === undefined ? null : numberFrom('--within', values.within, 5, 500);
  const window = within === null ? USUAL_RULE.window : ({ kind: 'ms', ms: within } as const);
  const start =
    values.start === undefined ? {} : { start: numberFrom('--start', values.start, 0, 7200) };
  return {
    chart,
    unit,
    take,
    tempo,
    ...start,
    rule: { share, window },
    json: values.json === true,
  };
}

function parsed(typed: readonly string[]) {
  const text = { type: 'string' } as const;
  const options = {
    chart: text,
    unit: text,
    tempo: text,
    take: text,
    start: text,
    within: text,
    share: text,
  };
  try {
    const json = { type: 'boolean' } as const;
    return parseArgs({ args: [...typed], options: { ...options, json } });
  } catch (error) {
    throw new Refusal(`${(error as Error).message}\n\n${USAGE}`);
  }
}

function numberFrom(name: string, text: string, low: number, high: number): number {
  const value = Number(text);
  if (text.trim() !== '' && value >= low && value <= high) return value;
  throw new Refusal(`${name} ${text}: give a number from ${low} to ${high}.`);
}

function readBytes(file: string): Buffer {
  try {
    return fs.readFileSync(file);
  } catch (error) {
    throw new Refusal(
      `${file} cannot be read (${(error as NodeJS.ErrnoException).code}). Check the path.`,
    );
  }
}

function readChart(file: string): Chart {
  const chart = readChartBytes(readBytes(file));
  if (!chart.ok) throw refused(chart.problems);
  return chart.value;
}

function refused(problems: readonly Problem[]): Refusal {
  return new Refusal(problems.map(inWords).join('\n'));
}

/** With the place in a typed chart, where there is one. */
function inWords({ message, cure, span }: Problem): string {
  return `${span ? `line ${span.line}: ` : ''}${message}. ${cure}`;
}

interface NamedUnit {
  readonly unit: Unit;
  readonly chart: Chart;
}

/** By name or key, upper and lower case alike. */
function unitNamed(chart: Chart, name: string): NamedUnit {
  const units = listUnits(chart);
  const wanted = name.toLowerCase();
  const unit = units.find((u) => u.name.toLowerCase() === wanted || u.key.toLowerCase() === wanted);
  if (unit) return { unit, chart };
  const names = units.map((u) => `  ${u.name}`).join('\n');
  throw new Refusal(`‘${chart.title}’ has no unit ‘${name}’. It has:\n${names}`);
}

function judge({ unit, chart }: NamedUnit, asked: Asked): TakeJudged {
  const take = readTake(readBytes(asked.take), asked.take);
  if (!take.ok) throw refused(take.problems);
  const { rule, start } = asked;
  const settings = {
    ...{ bpm: asked.tempo, rule, network: network(), ...unitGrips(unit, chart.shapes) },
    ...(start === undefined ? {} : { start }),
  };
  const judged = judgeTake(take.value, unit, settings);
  if (judged.changes.length > 0) return judged;
  throw new Refusal(
    `No chord and no note of a lead is due in ‘${unit.name}’, so there is nothing to judge. Type its chords into the chart (a MIDI file brings none), or choose another unit.`,
  );
}

/** The ear's trained weights. */
function network(): Network {
  return readNetwork(fs.readFileSync(new URL('../assets/ear/network.bin', import.meta.url)));
}

function asJson(unit: Unit, tempo: Bpm, judged: TakeJudged): string {
  const { pass, findings, start, relative, remarks, beat } = judged;
  const changes = judged.changes.map((change) =>
    change.offset === undefined ? change : { ...change, band: bandOf(change.offset, beat) },
  );
  return JSON.stringify(
    { unit: unit.name, tempo, start, relative, ...pass, findings, remarks, changes },
    null,
    2,
  );
}

function asTable(unit: Unit, tempo: Bpm, judged: TakeJudged): string {
  const rows = judged.changes.map((change) => [
    `bar ${change.bar + 1}`,
    changeName(change),
    placeOf(change, judged.beat),
    changeWords(change),
    `${Math.round(100 * change.confidence)} %`,
  ]);
  const widths = [0, 1, 2, 3, 4].map((i) => Math.max(...rows.map((row) => row[i]!.length), 0));
  const lines = rows.map((row) =>
    row
      .map((cell, i) => cell.padEnd(widths[i]!))
      .join('  ')
      .trimEnd(),
  );
  return [`${unit.name} at ${tempo} bpm`, ...lines, ...closing(judged)].join('\n');
}

/** "+140 ms apart"; the bands are explained at `bandOf`. */
function placeOf({ offset }: ChangeHeard, beat: Seconds): string {
  if (offset === undefined) return '–';
  const whole = Math.round(offset);
  return `${whole > 0 ? '+' : ''}${whole} ms ${bandOf(offset, beat)}`;
}

function closing({ pass, relative, start, remarks }: TakeJudged): string[] {
  const word = pass.verdict ?? 'no verdict: too much could not be told';
  const origin = relative
    ? `The unit begins at ${start.toFixed(3)} s, by ear: lateness is relative to the player's own median.`
    : `The unit begins at ${start.toFixed(3)} s, as given.`;
  const counted = `${pass.held} of ${pass.judged} changes right, ${pass.unsure} could not be told.`;
  return [
    '',
    `Verdict: ${word}. ${counted}`,
    origin,
    ...remarks.map((p) => `${p.message}. ${p.cure}`),
  ];
}
