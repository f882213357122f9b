// Practice reports that go by themselves: what is new in the player's log is handed to the teacher who was chosen, and a
// teacher's desk takes in what students on its list handed back.
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import type { Result } from '../../../core/base/result.ts';
import { composeReport, readReport, writeReport } from '../../../core/exchange/desk/report.ts';
import { gatherReports } from '../../../core/exchange/desk/report-gather.ts';
import { mergeReport } from '../../../core/exchange/desk/report-merge.ts';
import type { Chart } from '../../../core/model/chart.ts';
import type { PassRecord } from '../../../core/model/pass.ts';
import { OWN_DESK, type Student } from '../../../core/progress/assignment.ts';
import { numbered, reportIsFrom } from '../../../core/progress/whose.ts';
import type { TakenReport } from '../../contract/shared.ts';
import type { ChartFolder } from '../charts/chart-folder.ts';
import type { LogKeeper } from '../log/keep-log.ts';
import type { LogStore } from '../log/log-store.ts';
import type { People } from '../people/people.ts';
import { holdsMark, type LogMark, markWithout, rowsAfter, startOf } from '../log/rows-after.ts';
import type { Documents } from '../store/documents.ts';
import { fileName } from '../store/file-name.ts';
import type { SharedFolder } from '../shared/shared-folder.ts';

export interface ReportsAround {
  readonly shared: SharedFolder;
  readonly log: LogKeeper;
  readonly charts: ChartFolder;
  readonly students: Documents<Student>;
  readonly people: Pick<People, 'beforeRowsGo'>;
  readonly now: () => Date;
}

/** Small files of reports that are left as they are. */
const MANY = 24;
/** Passes in one report. */
const MOST_PASSES = 2_000;

export class AutoReports {
  readonly #around: ReportsAround;
  /** Where the log had come to at the last look. */
  #seen: LogMark | undefined;

  constructor(around: ReportsAround) {
    this.#around = around;
    around.people.beforeRowsGo((rows) => {
      const { reports } = around.shared.memory.now;
      if (!reports?.upTo) return;
      const upTo = markWithout(reports.upTo, rows);
      around.shared.memory.keep({ reports: { ...reports, upTo } });
    });
  }

  /**
   * Writes what is new, where the player agreed to it. Returns how many files were written.
   * @param quiet waits while something came into the log since the last look: a sitting is one report
   * @throws Error where it could not be written
   */
  write(quiet = false): number {
    const { shared, log, students } = this.#around;
    const { reports } = shared.memory.now;
    const own = students.get(OWN_DESK);
    const list = own?.knownTo?.find(({ id }) => id === reports?.to);
    if (!reports || !own || !list || !log.store || !shared.isThere) return 0;
    for (let files = 0; ; files++) {
      const upTo = this.#write(log.store, own, list, quiet);
      if (upTo) continue;
      if (files > 0) this.#gather(list);
      return files;
    }
  }

  #write(
    store: LogStore,
    own: Student,
    list: NonNullable<Student['knownTo']>[number],
    quiet: boolean,
  ): LogMark | undefined {
    const { shared, now } = this.#around;
    const { upTo: before, asked = 0 } = shared.memory.now.reports!;
    const holds = before && holdsMark(store.database, store.numbering, before);
    const mark = holds ? before : startOf(store.numbering);
    const { entries, upTo } = rowsAfter(store.database, OWN_DESK, mark, MOST_PASSES);
    const stillPlaying = quiet && JSON.stringify(this.#seen) !== JSON.stringify(upTo);
    this.#seen = upTo;
    const questions = own.comments.filter(({ question }) => question === true).length;
    if (stillPlaying || (entries.length === 0 && questions === asked)) return undefined;
    const ids = new Set(
      entries.map((entry) => (entry.kind === 'pass' ? entry.pass.id : entry.amendment.amends)),
    );
    const passes = passesOfUnits(store, ids);
    const report = composeReport({
      now: isoTimeOf(now()),
      student: { id: list.id, name: list.name },
      teacher: { name: list.teacher },
      charts: this.#charts(passes.filter(({ id }) => ids.has(id)).map(({ chart }) => chart.id)),
      assignments: own.assignments,
      comments: own.comments,
      passes,
      units: Object.fromEntries(
        store.read
          .bars([...new Set(passes.map(({ unit }) => unit.fingerprint))])
          .map((unit) => [unit.fingerprint, unit]),
      ),
    });
    const prints = new Set(report.units.map(({ fingerprint }) => fingerprint));
    const these = passes.filter(({ id, unit }) => ids.has(id) && prints.has(unit.fingerprint));
    const needed = new Set(these.map(({ unit }) => unit.fingerprint));
    const posted = shared.post({
      kind: 'report',
      student: list.id,
      name: `${fileName(numbered(list))} practice report.rungreport`,
      text: writeReport({
        ...report,
        passes: these,
        units: report.units.filter(({ fingerprint }) => needed.has(fingerprint)),
      }),
      adds: true,
    });
    if (!posted.ok) throw new Error(posted.problems[0]!.message);
    shared.memory.keep({ reports: { to: list.id, upTo, asked: questions } });
    return upTo;
  }

  /** Every sitting leaves a small file: many of them become one. */
  #gather(list: NonNullable<Student['knownTo']>[number]): void {
    const { id } = list;
    const { shared, now } = this.#around;
    const small = shared.smallReports(id);
    if (small.length < MANY) return;
    const reports = small.map(
      ([, { parcel }]) => valueOf(readReport(parcel!.text, isoTimeOf(now())))?.content,
    );
    if (!reports.every((report) => report !== undefined)) return;
    const parcel = {
      ...{ kind: 'report' as const, student: id, adds: true as const },
      name: `${fileName(numbered(list))} practice report.rungreport`,
      text: writeReport(gatherReports(reports)),
    };
    const merged = shared.merge([{ parcel }], small);
    if (!merged.ok) throw new Error(merged.problems[0]!.message);
  }

  #charts(ids: readonly string[]): readonly Chart[] {
    return [...new Set(ids)].flatMap((id) => valueOf(this.#around.charts.open(id)) ?? []);
  }

  /** Takes in what students on the list handed back; a report of anybody else waits to be looked at. */
  take(): readonly TakenReport[] {
    const { shared } = this.#around;
    if (shared.memory.now.looksFirst || !shared.isThere) return [];
    return shared.reports().flatMap(({ id, parcel }) => {
      const taken = this.#take(parcel.text, parcel.adds === true);
      if (taken) shared.taken(id);
      return taken === 'nothing new' ? [] : (taken ?? []);
    });
  }

  /** @param adds it comes after all that were taken in of its writer, whatever its clock says */
  #take(text: string, adds: boolean): TakenReport | 'nothing new' | undefined {
    const { log, charts, students, now } = this.#around;
    const read = readReport(text, isoTimeOf(now()));
    if (!read.ok || !log.store) return undefined;
    const { content: report } = read.value;
    const list = students.list().filter(({ id }) => id !== OWN_DESK);
    const from = reportIsFrom(list, report.student);
    if (from.kind !== 'known') return undefined;
    const { student } = from;
    const { passes } = log.store.read.passes({ desk: student.id });
    const known = this.#charts(
      report.charts.map(({ id }) => id).filter((id) => charts.text(id).ok),
    );
    const { lastReport, ...others } = student;
    const before = adds || lastReport === undefined ? others : student;
    const merged = mergeReport({ student: before, passes, charts: known }, report, student.id);
    const news = merged.newCharts.filter(({ id }) => !charts.text(id).ok);
    for (const chart of news) if (!charts.save(chart).ok) return undefined;
    if (merged.entries.length > 0 && log.append(student.id, merged.entries).problem)
      return undefined;
    if (!students.save(merged.student).ok) return undefined;
    // As where it was gathered of earlier ones.
    if (merged.nothing) return 'nothing new';
    const { newPasses, newQuestions } = merged;
    return { student: student.id, name: student.name, newPasses, newQuestions };
  }
}

const valueOf = <T>(result: Result<T>): T | undefined => (result.ok ? result.value : undefined);

/** Every settled pass of the units that these passes are of: a tempo rests on all of them. */
function passesOfUnits(store: LogStore, ids: ReadonlySet<string>): readonly PassRecord[] {
  const one = store.database.prepare(
    `select units.ref, units.chart, units.unit from passes join units on units.ref = passes.unit
     join desks on desks.ref = passes.desk where desks.name = ? and passes.id = ?`,
  );
  type Unit = { readonly ref: number; readonly chart: string; readonly unit: string };
  const units = new Map<number, Unit>();
  for (const id of ids) {
    const unit = one.get(OWN_DESK, id) as Unit | undefined;
    if (unit) units.set(unit.ref, unit);
  }
  return [...units.values()].flatMap(
    ({ chart, unit }) => store.read.passes({ desk: OWN_DESK, chart, unit }).passes,
  );
}
