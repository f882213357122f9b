// Speed of the practice log: one pass logged with ten years on disk, and questions to 200,000 passes.
import fs from 'node:fs';
import os from 'node:os';
import path from 'node:path';
import Conf from 'conf';
import type { LogEntry, PassRecord, PlayedUnit } from '../../../app/core/model/pass.ts';
import { dateOfDay, dayNumber, localDate } from '../../../app/core/log/days.ts';
import { answerLog } from '../../../app/services/machine/log/answer-log.ts';
import { summarise } from '../../../app/core/log/per-unit.ts';
import { type Candidate, planToday } from '../../../app/core/progress/today.ts';
import { OWN_DESK } from '../../../app/core/progress/assignment.ts';
import { type LogStore, openLogStore } from '../../../app/services/machine/log/log-store.ts';
import type { BenchRow } from '../bench.ts';
import { quantile, timeRuns } from '../bench.ts';

const PASSES = 200_000;
const MONTHS = 120;
const FIRST_YEAR = 2021;
/** Days on which Today is opened. */
const DAYS = 8;

export const rows: BenchRow[] = [
  {
    name: 'log-append-p95',
    what: 'one pass logged and synced to disk with ten years of history there; peer: electron-store’s base writing the same pass into a month’s file',
    unit: 'ms',
    goal: { at: '<=', value: 5 },
    measure: () =>
      withTenYears(async (directory, log) => {
        let id = 0;
        const times = await timeRuns(200, () =>
          log.write(OWN_DESK, [entry(`new-${id++}`, 3, 119)]),
        );
        const peer = await timeRuns(30, wholeFilePeer(directory));
        return {
          value: quantile(times, 0.95),
          peer: { name: 'conf, whole month, p95', value: quantile(peer, 0.95) },
          note: `200 appends; median ${quantile(times, 0.5).toPrecision(3)} ms; ${(fs.statSync(path.join(directory, 'log.sqlite')).size / 1e6).toFixed(1)} MB on disk`,
        };
      }),
  },
  {
    name: 'today-plan-200k',
    what: 'today’s plan, asked for the first time of a day by a program just started, from 200,000 passes of 40 units, all of them in play: what Today asks of the log (every unit’s counts, where each stands with its due date, what broke in it lately), and the plan made of it; the day before, 62 passes of three or four units were played after Today was looked at; peer: the same passes read as JSON and summarised',
    unit: 'ms',
    goal: { at: '<=', value: 100 },
    measure: () =>
      withTenYears(async (directory, log) => {
        const start = performance.now();
        await planned(log, answerLog(log.read));
        const ever = performance.now() - start;
        const times: number[] = [];
        let busy = 0;
        for (let day = 0; day < DAYS; day++) {
          log.keepAnswers();
          log.write(OWN_DESK, dayOfPractice(day));
          const started = openIn(directory);
          const before = process.cpuUsage();
          times.push(...(await timeRuns(1, () => planned(started, answerLog(started.read)), 0)));
          const { user, system } = process.cpuUsage(before);
          busy += (user + system) / 1000 / DAYS;
          started.keepAnswers();
          started.close();
        }
        const peer = await jsonPeer(log);
        return {
          value: quantile(times, 0.5),
          peer: { name: 'JSON.parse and summaries', value: quantile(peer, 0.5) },
          note: `median of ${DAYS} days, slowest ${quantile(times, 1).toFixed(0)} ms, processor ${busy.toFixed(0)} ms a day; the first time ever, with nothing kept, ${ever.toFixed(0)} ms`,
        };
      }),
  },
  {
    name: 'today-again-200k',
    what: 'the same plan when Today is opened again the same day after a pass: where the other units stand was kept; peer: the same passes read as JSON and summarised',
    unit: 'ms',
    goal: { at: '<=', value: 100 },
    measure: () =>
      withTenYears(async (_directory, log) => {
        const answers = answerLog(log.read);
        let id = 0;
        const times = await timeRuns(
          10,
          () => {
            log.write(OWN_DESK, [entry(`again-${id++}`, 0.999, MONTHS - 1)]);
            return planned(log, answers);
          },
          1,
        );
        const peer = await jsonPeer(log);
        return {
          value: quantile(times, 0.5),
          peer: { name: 'JSON.parse and summaries', value: quantile(peer, 0.5) },
          note: `median of 10, writing the pass included; slowest ${quantile(times, 1).toFixed(0)} ms`,
        };
      }),
  },
  {
    name: 'log-questions-200k',
    what: 'what History asks of 200,000 passes when it opens: every unit’s counts, those of the last year and its days, the course of the unit played last and what its tempo rests on, where it stands, what broke; peer: the same passes read as JSON and summarised',
    unit: 'ms',
    goal: { at: '<=', value: 200 },
    measure: () =>
      withTenYears(async (_directory, log) => {
        const times = await timeRuns(5, () => questions(log), 1);
        const asked = await questions(log);
        const peer = await jsonPeer(log);
        return {
          value: quantile(times, 0.5),
          peer: { name: 'JSON.parse and summaries', value: quantile(peer, 0.5) },
          note: `median of 5; ${asked} passes of the last unit drawn`,
        };
      }),
  },
];

function jsonPeer(log: LogStore): Promise<number[]> {
  const plain = JSON.stringify(log.read.passes({ desk: OWN_DESK }).passes);
  return timeRuns(3, () => summarise(JSON.parse(plain) as readonly PassRecord[]), 0);
}

/** As `renderer/state/today` asks; no unit may be lost on the way. */
async function planned(log: LogStore, answers: ReturnType<typeof answerLog>): Promise<void> {
  const desk = OWN_DESK;
  const units = log.read.units({ desk });
  const asOf = dateOfDay(dayNumber(localDate(units[0]!.lastPlayed)) + 1);
  const due = dateOfDay(dayNumber(asOf) + 30);
  const of = units.map(({ chart, unit }) => ({ chart: chart.id, bars: unit.fingerprint }));
  const asked = units.map(({ beat, target }, i) => ({ ...of[i]!, beat, target, asOf, due }));
  const [standings, worst] = await Promise.all([
    answers['log.standings']({ desk, of: asked }),
    answers['log.worst']({ desk, of, latest: 60 }),
  ]);
  const candidates = units.map(({ chart, unit }, i): Candidate => {
    const broke = worst[i];
    return {
      ...{ chart, unit, standing: standings[i]! },
      ...(broke ? { breaks: { from: broke.from, to: broke.to, times: broke.broke } } : {}),
    };
  });
  const { lines, later } = planToday(candidates, 60);
  if (lines.length + later.length !== UNITS.length) throw new Error('a unit was lost in the plan');
}

/** How many passes of the unit played last are drawn: those of its last year. */
async function questions(log: LogStore): Promise<number> {
  const { read } = log;
  const answers = answerLog(log.read);
  const desk = OWN_DESK;
  const last = read.units({ desk })[0]!;
  const day = localDate(last.lastPlayed);
  const since = dateOfDay(dayNumber(day) - 366);
  read.units({ desk, since });
  read.days({ desk, since });
  const unit = { desk, chart: last.chart.id, unit: last.unit.key, since };
  const bars = { chart: last.chart.id, bars: last.unit.fingerprint };
  const course = await answers['log.course'](unit);
  await answers['log.course']({ desk, ...bars, since, leadIn: true });
  const { beat, target } = last;
  await answers['log.standings']({ desk, of: [{ ...bars, beat, target, asOf: day }] });
  await answers['log.changes'](unit);
  return course.at.length;
}

/** 200,000 passes over 120 months and 40 units, in a log of their own. */
async function withTenYears<T>(work: (directory: string, log: LogStore) => Promise<T>): Promise<T> {
  const directory = fs.mkdtempSync(path.join(os.tmpdir(), 'rungwise-bench-'));
  const log = openIn(directory);
  try {
    writeMonths(log);
    return await work(directory, log);
  } finally {
    log.close();
    fs.rmSync(directory, { recursive: true, force: true });
  }
}

function openIn(directory: string): LogStore {
  const opened = openLogStore({
    file: path.join(directory, 'log.sqlite'),
    backups: path.join(directory, 'backups'),
    setAside: path.join(directory, 'set-aside'),
    now: () => new Date(),
    newId: () => crypto.randomUUID(),
  });
  if (opened.kind === 'closed') throw new Error(opened.problem.message);
  return opened.log;
}

/** As many passes as on any day of the ten years, in the month after them. */
function dayOfPractice(day: number): LogEntry[] {
  const count = Math.round(PASSES / MONTHS / 27);
  return Array.from({ length: count }, (_, i) =>
    entry(crypto.randomUUID(), (day + i / count) / 27, MONTHS),
  );
}

function writeMonths(log: LogStore): void {
  const perMonth = Math.ceil(PASSES / MONTHS);
  for (let month = 0; month < MONTHS; month++) {
    const count = Math.min(perMonth, PASSES - month * perMonth);
    log.write(
      OWN_DESK,
      Array.from({ length: count }, (_, i) => entry(crypto.randomUUID(), i / count, month)),
    );
  }
}

const monthName = (month: number): string =>
  `${FIRST_YEAR + Math.floor(month / 12)}-${String((month % 12) + 1).padStart(2, '0')}`;

/** A pass at this share (0–1) of the month. */
function entry(id: string, share: number, month: number): LogEntry {
  const day = 1 + Math.floor((share % 1) * 27);
  const second = Math.floor((share * 27 * 7200) % 7200);
  const clock = new Date(second * 1000).toISOString().slice(11, 23);
  const turn = (at: number): number => Math.floor(at * 97);
  const unit = UNITS[turn(share) % UNITS.length]!;
  const sitting = `${month}-${day}`;
  return {
    kind: 'pass',
    unit,
    pass: {
      id,
      at: `${monthName(month)}-${String(day).padStart(2, '0')}T${clock}+02:00`,
      session: `s-${sitting}`,
      climb: `c-${sitting}-${unit.fingerprint}`,
      chart: { id: 'k', title: 'Chalk on the Gate' },
      unit: { key: `section:${unit.fingerprint}`, name: 'Verse', fingerprint: unit.fingerprint },
      rung: { bpm: 60 + (second % 40), beat: 'quarter', index: second % 9, of: 9, target: 120 },
      verdict: second % 4 === 0 ? 'missed' : 'clean',
      source: 'self',
      // The first of its turn; a month holds some 1,667.
      cold: turn(share) !== turn(share - 1 / Math.ceil(PASSES / MONTHS)),
      duration: 20 + (second % 13) / 7,
    },
  };
}

const UNITS: readonly PlayedUnit[] = Array.from({ length: 40 }, (_, n) => ({
  fingerprint: `u-${n}`,
  bars: Array.from({ length: 8 }, (_, bar) => ({
    section: 'Verse',
    bar: bar + 1,
    time: 1,
    meter: { numerator: 4, unit: 4, grouping: [1, 1, 1, 1] },
    feel: { kind: 'straight' },
    tempo: { bpm: 90, beat: 'quarter' },
    length: { n: 4, d: 1 },
    pickup: false,
    chords: [{ at: { n: 0, d: 1 }, symbol: 'Am7' }],
  })),
}));

/** What a plain use of the store would do: set one key, and so rewrite the whole month. */
function wholeFilePeer(directory: string): () => void {
  const store = new Conf({ cwd: directory, configName: 'peer', projectVersion: '1.0.0' });
  const perMonth = Math.ceil(PASSES / MONTHS);
  const passes = Array.from({ length: perMonth }, (_, i) => entry(`p-${i}`, i / perMonth, 0));
  store.set('passes', passes);
  return () => store.appendToArray('passes', entry('one-more', 0.5, 0));
}
