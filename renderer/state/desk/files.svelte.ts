// Task sheets and practice reports coming in: read, shown before anything changes, taken in as a whole.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { MergedReport } from '../../../app/core/exchange/desk/report-merge.ts';
import type { PracticeReport } from '../../../app/core/exchange/desk/report.ts';
import type { Holding, SheetPreview } from '../../../app/core/exchange/desk/task-sheet-merge.ts';
import type { TaskSheet } from '../../../app/core/exchange/desk/task-sheet.ts';
import { OWN_DESK, type Student } from '../../../app/core/progress/assignment.ts';
import { type FromWhom, reportIsFrom } from '../../../app/core/progress/whose.ts';
import type { Problem } from '../../../app/core/base/result.ts';
import type { DeskState } from './desk.svelte.ts';
import type { Library } from '../library/library.svelte.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import { isoNow } from '../../page/clock.ts';
import { dateWords } from '../../page/words.ts';

const exchange = () => import('./exchange.ts');

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
      /** Is the one it is of known here? */
      readonly from: FromWhom;
      /** Student on this desk it is for; a new one if none is known. */
      readonly into: string;
      readonly merged: MergedReport;
      readonly warnings: readonly Problem[];
    };

interface FilesAround {
  readonly desk: DeskState;
  readonly library: Library;
  readonly messages: Messages;
}

export class DeskFiles {
  readonly #around: FilesAround;
  #incoming = $state.raw<Incoming>();
  /** Files that were opened with the one that is shown. */
  #rest: readonly File[] = [];
  #ontaken: (() => void) | undefined;

  constructor(around: FilesAround) {
    this.#around = around;
  }

  get incoming(): Incoming | undefined {
    return this.#incoming;
  }

  /**
   * Reads the first file and shows what it would do; says why when it is refused. The others follow, one by one.
   * @param ontaken once it was taken in
   */
  open = async (files: readonly File[], ontaken?: () => void): Promise<void> => {
    const [file, ...rest] = files;
    if (!file) return;
    this.#rest = rest;
    this.#ontaken = ontaken;
    const { desk, library } = this.#around;
    await Promise.all([library.load(), desk.load()]);
    const [text, { reportForm, parseJson }] = await Promise.all([file.text(), exchange()]);
    const parsed = parseJson(text, reportForm.maxCharacters);
    if (parsed.ok && formatOf(parsed.value) === reportForm.format)
      await this.#openReport(file.name, text);
    else await this.#openSheet(file.name, text);
  };

  /** A report may belong to another student of the desk than the one it names. */
  choose = async (into: string): Promise<void> => {
    if (this.#incoming?.kind !== 'report') return;
    const { report } = this.#incoming;
    this.#incoming = { ...this.#incoming, into, merged: await this.#mergeInto(report, into) };
  };

  /** Shows the next of the files that were opened together, if there is one. */
  putAway = (): void => {
    if (this.#rest.length === 0) this.#incoming = undefined;
    else void this.#showNext();
  };

  /** Charts first, then what needs them, so that a failure leaves nothing pointing nowhere. */
  take = async (keepCharts?: ReadonlySet<string>): Promise<void> => {
    const incoming = this.#incoming;
    if (!incoming) return;
    const done =
      incoming.kind === 'sheet'
        ? await this.#takeSheet(incoming.sheet, keepCharts)
        : await this.#takeReport(incoming.into, incoming.merged);
    if (!done) return;
    this.#ontaken?.();
    this.putAway();
  };

  /** The dialog stays where it is: what is shown is replaced. A file that is refused is passed over. */
  async #showNext(): Promise<void> {
    const before = this.#incoming;
    await this.open(this.#rest);
    if (this.#incoming === before) this.putAway();
  }

  async #openSheet(file: string, text: string): Promise<void> {
    const { previewTaskSheet, readTaskSheet } = await exchange();
    const read = readTaskSheet(text, isoNow());
    if (!read.ok) return this.#refuse(file, read.problems);
    const { content: sheet, warnings } = read.value;
    const preview = previewTaskSheet(await this.#holding(sheet), sheet, dateWords);
    this.#incoming = { kind: 'sheet', file, sheet, preview, warnings };
  }

  async #openReport(file: string, text: string): Promise<void> {
    const { readReport } = await exchange();
    const read = readReport(text, isoNow());
    if (!read.ok) return this.#refuse(file, read.problems);
    const { content: report, warnings } = read.value;
    const from = reportIsFrom(this.#around.desk.students, report.student);
    const into = from.kind === 'known' ? from.student.id : report.student.id;
    const merged = await this.#mergeInto(report, into);
    this.#incoming = { kind: 'report', file, report, from, into, merged, warnings };
  }

  async #mergeInto(report: PracticeReport, into: string): Promise<MergedReport> {
    const { desk, library } = this.#around;
    const student = desk.find(into);
    const passes = student ? await desk.passesOf(into) : [];
    const { mergeReport } = await exchange();
    const charts = await library.openAll(report.charts.map(({ id }) => id));
    const { student: of } = reportIsOf(desk, report);
    const owner = of && of.id !== into ? desk.labelOf(of) : undefined;
    return mergeReport({ student, passes, charts, owner }, report, into);
  }

  async #takeSheet(sheet: TaskSheet, keep?: ReadonlySet<string>): Promise<boolean> {
    const { desk, messages } = this.#around;
    const { mergeTaskSheet } = await exchange();
    const merged = mergeTaskSheet(await this.#holding(sheet), sheet, keep);
    const undo = await this.#saveCharts(merged.charts);
    if (!undo) return false;
    // A word that is kept already is no news to the next try.
    if (!(await desk.append(OWN_DESK, merged.entries)) || !(await desk.save(merged.desk))) {
      return undo();
    }
    messages.say(`The task sheet of ${sheet.teacher.name || 'your teacher'} was taken in.`);
    return true;
  }

  async #takeReport(into: string, { student, entries, newCharts }: MergedReport): Promise<boolean> {
    const { desk, messages } = this.#around;
    const undo = await this.#saveCharts(newCharts);
    if (!undo) return false;
    // Entries of a student who is not on the desk are seen by nobody; the next try finds them there.
    if (!(await desk.append(into, entries)) || !(await desk.save(student))) return undo();
    messages.say(`The report of ${desk.labelOf(student)} was taken in.`);
    return true;
  }

  /** What the player's own side holds of what the sheet is about. */
  async #holding(sheet: TaskSheet): Promise<Holding> {
    const { desk, library } = this.#around;
    const charts = await library.openAll(sheet.charts.map(({ id }) => id));
    // Passes are only looked at for what the teacher says of them.
    const passes = sheet.words.length > 0 ? await desk.passesOf(OWN_DESK) : [];
    return { desk: desk.own, charts, passes };
  }

  /** Saves all or none. Returns what puts the library back as it was (and answers false), or nothing on failure. */
  async #saveCharts(charts: readonly Chart[]): Promise<(() => Promise<false>) | undefined> {
    const { library } = this.#around;
    const before = await Promise.all(
      charts.map(async ({ id }) => [id, await library.open(id)] as const),
    );
    const undo = async (): Promise<false> => {
      for (const [id, chart] of before) {
        if (chart) await library.save(chart);
        else if (library.listed(id)) await library.takeOut(id);
      }
      return false;
    };
    for (const chart of charts) {
      if (await library.save(chart)) continue;
      await undo();
      return undefined;
    }
    return undo;
  }

  #refuse(file: string, problems: readonly Problem[]): void {
    const [first, ...more] = problems;
    if (!first) return;
    const others = more.length > 0 ? ` (and ${more.length} more)` : '';
    this.#around.messages.refuse([
      { ...first, message: `The file ‘${file}’ was not taken in: ${first.message}${others}.` },
    ]);
  }
}

/** Whose reports bear this identity, if anybody here. */
const reportIsOf = (desk: DeskState, { student }: PracticeReport): { student?: Student } => {
  const from = reportIsFrom(desk.students, student);
  return from.kind === 'known' ? { student: from.student } : {};
};

/** What the file says it is, without believing it. */
const formatOf = (value: unknown): unknown =>
  typeof value === 'object' && value !== null && 'format' in value ? value.format : undefined;
