// Task sheets and practice reports coming in: read, shown before anything changes, taken in as a whole.
import { parseJson } from '../../../app/core/chart/chart-file.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { type MergedReport, mergeReport } from '../../../app/core/exchange/desk/report-merge.ts';
import {
  type PracticeReport,
  readReport,
  reportForm,
} from '../../../app/core/exchange/desk/report.ts';
import {
  type Holding,
  mergeTaskSheet,
  previewTaskSheet,
  type SheetPreview,
} from '../../../app/core/exchange/desk/task-sheet-merge.ts';
import { readTaskSheet, type TaskSheet } from '../../../app/core/exchange/desk/task-sheet.ts';
import { OWN_DESK } from '../../../app/core/progress/assignment.ts';
import type { Problem } from '../../../app/core/base/result.ts';
import { call } from '../../services.ts';
import { desk } from './desk.svelte.ts';
import { library } from '../library/library.svelte.ts';
import { messages } from '../messages.svelte.ts';
import { practiceLog } from '../log/practice-log.svelte.ts';
import { isoNow } from '../log/today.ts';

/** A file that was understood and waits for a yes. */
export type Incoming =
  | {
      readonly kind: 'sheet';
      readonly file: string;
      readonly sheet: TaskSheet;
      readonly preview: SheetPreview;
      readonly warnings: readonly Problem[];
    }
  | {
      readonly kind: 'report';
      readonly file: string;
      readonly report: PracticeReport;
      /** Student on this desk it is for; a new one if none is known. */
      readonly into: string;
      readonly merged: MergedReport;
      readonly warnings: readonly Problem[];
    };

class DeskFiles {
  #incoming = $state.raw<Incoming>();

  get incoming(): Incoming | undefined {
    return this.#incoming;
  }

  /** Reads one file and shows what it would do; says why when it is refused. */
  open = async (files: readonly File[]): Promise<void> => {
    const [file] = files;
    if (!file) return;
    await Promise.all([library.load(), desk.load(), practiceLog.load()]);
    const text = await file.text();
    if (formatOf(text) === reportForm.format) await this.#openReport(file.name, text);
    else this.#openSheet(file.name, text);
  };

  /** A report may belong to another student of the desk than the one it names. */
  choose = async (into: string): Promise<void> => {
    if (this.#incoming?.kind !== 'report') return;
    const { report } = this.#incoming;
    this.#incoming = { ...this.#incoming, into, merged: await this.#mergeInto(report, into) };
  };

  putAway = (): void => {
    this.#incoming = undefined;
  };

  /** Charts first, then what needs them, so that a failure leaves nothing pointing nowhere. */
  take = async (keepCharts: ReadonlySet<string> = new Set()): Promise<void> => {
    const incoming = this.#incoming;
    if (!incoming) return;
    const done =
      incoming.kind === 'sheet'
        ? await this.#takeSheet(incoming.sheet, keepCharts)
        : await this.#takeReport(incoming.into, incoming.merged);
    if (done) this.putAway();
  };

  #openSheet(file: string, text: string): void {
    const read = readTaskSheet(text, isoNow());
    if (!read.ok) return refuse(file, read.problems);
    const { content: sheet, warnings } = read.value;
    const preview = previewTaskSheet(holding(), sheet);
    this.#incoming = { kind: 'sheet', file, sheet, preview, warnings };
  }

  async #openReport(file: string, text: string): Promise<void> {
    const read = readReport(text, isoNow());
    if (!read.ok) return refuse(file, read.problems);
    const { content: report, warnings } = read.value;
    const into = report.student.id;
    const merged = await this.#mergeInto(report, into);
    this.#incoming = { kind: 'report', file, report, into, merged, warnings };
  }

  async #mergeInto(report: PracticeReport, into: string): Promise<MergedReport> {
    const student = desk.find(into);
    const passes = student ? await desk.passesOf(into) : [];
    return mergeReport({ student, passes, charts: library.charts }, report, into);
  }

  async #takeSheet(sheet: TaskSheet, keep: ReadonlySet<string>): Promise<boolean> {
    const merged = mergeTaskSheet(holding(), sheet, keep);
    const undo = await saveCharts(merged.charts);
    if (!undo) return false;
    // A word that is kept already is no news to the next try.
    if (!(await desk.append(OWN_DESK, merged.entries)) || !(await desk.save(merged.desk))) {
      return undo();
    }
    await practiceLog.load();
    messages.say(`The task sheet of ${sheet.teacher.name || 'your teacher'} was taken in.`);
    return true;
  }

  async #takeReport(into: string, { student, entries, newCharts }: MergedReport): Promise<boolean> {
    const undo = await saveCharts(newCharts);
    if (!undo) return false;
    // Entries of a student who is not on the desk are seen by nobody; the next try finds them there.
    if (!(await desk.append(into, entries)) || !(await desk.save(student))) return undo();
    await desk.loadLogs();
    messages.say(`The report of ${student.name} was taken in.`);
    return true;
  }
}

/** What the player's own side holds. */
const holding = (): Holding => ({
  desk: desk.own,
  charts: library.charts,
  passes: practiceLog.passes,
});

/** Saves all or none. Returns what puts the library back as it was (and answers false), or nothing on failure. */
async function saveCharts(charts: readonly Chart[]): Promise<(() => Promise<false>) | undefined> {
  const before = charts.map(({ id }) => [id, library.find(id)] as const);
  const undo = async (): Promise<false> => {
    for (const [id, chart] of before) {
      if (chart) await call('charts.save', { chart });
      else await call('charts.remove', { id });
    }
    await library.load();
    return false;
  };
  for (const chart of charts) {
    const saved = await call('charts.save', { chart });
    if (saved.ok) continue;
    messages.refuse(saved.problems);
    await undo();
    return undefined;
  }
  await library.load();
  return undo;
}

function refuse(file: string, problems: readonly Problem[]): void {
  const [first, ...more] = problems;
  if (!first) return;
  const others = more.length > 0 ? ` (and ${more.length} more)` : '';
  messages.refuse([
    { ...first, message: `The file ‘${file}’ was not taken in: ${first.message}${others}.` },
  ]);
}

/** What the file says it is, without believing it. */
function formatOf(text: string): unknown {
  const parsed = parseJson(text, reportForm.maxCharacters);
  if (!parsed.ok || typeof parsed.value !== 'object' || parsed.value === null) return undefined;
  return 'format' in parsed.value ? parsed.value.format : undefined;
}

export const deskFiles = new DeskFiles();
