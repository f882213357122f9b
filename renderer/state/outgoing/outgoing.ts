// Files that leave the desk: task sheet, practice report, due dates, log and desk as tables.
import type { TaskSheet } from '../../../app/core/exchange/desk/task-sheet.ts';
import { type Assignment, OWN_DESK, type Student } from '../../../app/core/progress/assignment.ts';
import { numbered } from '../../../app/core/progress/whose.ts';
import type { IsoTime } from '../../../app/core/base/units.ts';
import { fileName, saveFile } from '../../page/save-file.ts';
import type { DeskState } from '../desk/desk.svelte.ts';
import type { Sent, SharedFolder } from '../desk/shared.svelte.ts';
import type { Parcel } from '../../../app/core/exchange/shared/parcel.ts';
import type { Library } from '../library/library.svelte.ts';
import type { PracticeLog } from '../log/practice-log.svelte.ts';
import { isoNow } from '../../page/clock.ts';

const exchange = () => import('../desk/exchange.ts');

interface OutgoingAround {
  readonly desk: DeskState;
  readonly library: Library;
  readonly log: Pick<PracticeLog, 'ask'>;
  readonly shared: SharedFolder;
}

/** How something left: through the shared folder, or as a file. */
export type Way = Sent | 'file';

/** What became of it, after its name. */
export const sentWords: Readonly<Record<Way, string>> = {
  there: 'was put into the shared folder',
  'on its way': 'is on its way to the shared folder',
  waits:
    'waits on this computer until the shared folder can be used, and goes there by itself then',
  file: 'was saved as a file to hand on',
};
/** The same of several. */
export const allSentWords: Readonly<Record<Way, string>> = {
  there: 'were put into the shared folder',
  'on its way': 'are on their way to the shared folder',
  waits:
    'wait on this computer until the shared folder can be used, and go there by themselves then',
  file: 'were saved as files to hand on',
};

export interface HandedOut {
  readonly way: Way;
  /** What had to be left out because its chart is gone. */
  readonly left: readonly Assignment[];
}

export class DeskOutgoing {
  readonly #around: OutgoingAround;

  constructor(around: OutgoingAround) {
    this.#around = around;
  }

  /**
   * Hands out the task sheet of a student: everything set, with the charts it needs, and everything said.
   * Goes into the shared folder where there is one, else into a file.
   */
  giveTaskSheet = async (student: Student, teacher: string): Promise<HandedOut> => {
    const { desk, library, log } = this.#around;
    const needed = new Set(student.assignments.map(({ chart }) => chart.id));
    const charts = await library.openAll(needed);
    const there = new Set(charts.map(({ id }) => id));
    const { withBarsOf, writeTaskSheet } = await exchange();
    const assignments = withBarsOf(student.assignments, charts, isoNow());
    const [sent, left] = [true, false].map((here) =>
      assignments.filter(({ chart }) => there.has(chart.id) === here),
    );
    // What is handed out is what is set: the desk compares with it from now on.
    if (assignments.some((one, i) => one !== student.assignments[i])) {
      await desk.save({ ...student, assignments });
    }
    const sheet: TaskSheet = {
      written: isoNow(),
      teacher: { name: teacher },
      student: desk.listed.get(student.id) ?? { id: student.id, name: student.name },
      charts,
      assignments: sent!,
      comments: student.comments,
      words: await log.ask('log.words', { desk: student.id }),
    };
    const name = fileName(`${desk.labelOf(student)} task sheet`, '.rungsheet');
    const way = await this.#hand({
      kind: 'sheet',
      student: student.id,
      name,
      text: writeTaskSheet(sheet),
    });
    return { way, left: left! };
  };

  /**
   * Hands out the player's own practice report.
   * @param to whose list it goes to; the one of the newest task sheet if left out
   * @param since leaves earlier passes out
   */
  givePracticeReport = async (name: string, to?: string, since?: IsoTime): Promise<Way> => {
    const { desk, library } = this.#around;
    const { passes, units } = await this.#played();
    const own = desk.own;
    const list = own.knownTo?.find(({ id }) => id === (to ?? own.knownAs?.id));
    const knownAs = { id: list?.id ?? own.knownAs?.id ?? crypto.randomUUID(), name };
    if (own.name !== name || !own.knownAs) {
      await desk.save({ ...own, name, knownAs: own.knownAs ?? knownAs });
    }
    const { composeReport, writeReport } = await exchange();
    const report = composeReport({
      now: isoNow(),
      student: knownAs,
      teacher: { name: list?.teacher ?? '' },
      charts: await library.openAll([...own.assignments, ...passes].map(({ chart }) => chart.id)),
      assignments: own.assignments,
      comments: own.comments,
      passes,
      units,
      ...(since === undefined ? {} : { since }),
    });
    return this.#hand({
      kind: 'report',
      student: knownAs.id,
      name: fileName(`${numbered({ ...list, name })} practice report`, '.rungreport'),
      text: writeReport(report),
      // It does not hold what an earlier one holds.
      ...(since === undefined ? {} : { adds: true }),
    });
  };

  /** What can go into no shared folder is saved as a file. */
  async #hand(parcel: Parcel): Promise<Way> {
    const sent = await this.#around.shared.post(parcel);
    if (sent) return sent;
    saveFile(parcel.name, parcel.text, 'application/json');
    return 'file';
  }

  /** The whole log, with its bars as they were played. A pass whose bars were lost with a damaged file cannot travel. */
  async #played(): Promise<Pick<Parameters<ComposeReport>[0], 'passes' | 'units'>> {
    const { desk, log } = this.#around;
    const all = await desk.passesOf(OWN_DESK);
    const fingerprints = [...new Set(all.map(({ unit }) => unit.fingerprint))];
    const bars = await log.ask('log.bars', { fingerprints });
    const units = Object.fromEntries(bars.map((unit) => [unit.fingerprint, unit]));
    return { passes: all.filter(({ unit }) => Object.hasOwn(units, unit.fingerprint)), units };
  }
}

type ComposeReport = Awaited<ReturnType<typeof exchange>>['composeReport'];

/** Hands out the due dates of a student (or the player) for a calendar program. */
export async function giveCalendar(student: Student, name: string): Promise<void> {
  const { dueCalendar } = await exchange();
  const text = dueCalendar(student.assignments, isoNow());
  saveFile(fileName(`${name} due dates`, '.ics'), text, 'text/calendar;charset=utf-8');
}
