// Everything that goes through the shared folder by itself: between the machines of one player, and reports to a teacher.
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import { OWN_DESK } from '../../../core/progress/assignment.ts';
import type { Parcel } from '../../../core/exchange/shared/parcel.ts';
import { codeOf, personOf, readCode } from '../../../core/exchange/shared/person.ts';
import {
  NOTHING_TRAVELLED,
  type OwnChoice,
  type OwnMachine,
  type SharedState,
  type Travelled,
} from '../../contract/shared.ts';
import type { Keeping } from '../archive/keeping.ts';
import type { People } from '../people/people.ts';
import { inWords } from '../store/durable.ts';
import type { StandingProblems } from '../store/standing-problems.ts';
import { AutoReports } from './auto-reports.ts';
import { waitingForHere } from './for-here.ts';
import type { GivenRecordings } from './given-recordings.ts';
import type { Leaving } from './leaving.ts';
import { missingFiles, noteMissing } from './missing-files.ts';
import { tellLostParcels } from './lost-parcels.ts';
import { chartsTravel } from './own/charts-travel.ts';
import { deskTravel } from './own/desk-travel.ts';
import { goneTravel } from './own/gone-travel.ts';
import type { KeptWrites } from './own/kept-writes.ts';
import { laddersTravel } from './own/ladders-travel.ts';
import { OwnMachines } from './own/own-machines.ts';
import { settingsTravel } from './own/settings-travel.ts';
import { sharedTravel } from './own/shared-travel.ts';
import { studentOfHead, studentsTravel } from './own/students-travel.ts';
import type { SharedPlace } from '../courier/shared-place.ts';
import type { Patience } from '../shared/patience.ts';
import type { SharedFolder } from '../shared/shared-folder.ts';

export interface TravelAround extends Keeping {
  readonly standing: StandingProblems;
  readonly place: SharedPlace;
  readonly leaving: Leaving;
  readonly given: GivenRecordings;
  readonly people: People;
  /** Nobody can guess them: codes are made of them. */
  readonly newId: () => string;
  /** Absent where the data folder cannot be written: then nothing of the player's own travels. */
  readonly kept: KeptWrites | undefined;
  /** The usual one if left out. */
  readonly patience?: Patience | undefined;
  /** Called whenever something came. */
  readonly came: (news: Travelled) => void;
}

export class Travel {
  readonly #around: TravelAround;
  readonly #own: OwnMachines | undefined;
  readonly #reports: AutoReports;

  constructor(around: TravelAround) {
    const { folder, now, students, ladders, settings, charts, log } = around;
    const { kept, place, people, patience } = around;
    const { directory } = folder;
    const shared = place.folder;
    this.#around = around;
    if (kept)
      this.#own = new OwnMachines({
        ...{ shared, log, kept, people, patience },
        travellers: [
          chartsTravel({ directory, remove: (id) => charts.remove(id) }),
          deskTravel(students, now),
          laddersTravel(ladders),
          settingsTravel(settings),
          goneTravel(people),
          // Before the students: these rest until each has a folder.
          sharedTravel(shared.memory),
          studentsTravel(students, () => shared.memory.now.folders === undefined),
        ],
      });
    this.#reports = new AutoReports({ shared, log, charts, students, people, now });
  }

  get #shared(): SharedFolder {
    return this.#around.place.folder;
  }

  state(): SharedState {
    const { place, leaving, students } = this.#around;
    const { list, why } = leaving;
    const before = place.state();
    const missing = before.away ? [] : missingFiles(this.#shared, students);
    const state: SharedState = {
      ...before,
      waiting: waitingForHere(before.waiting, this.#shared, students),
      ...(missing.length > 0 ? { missing } : {}),
      ...(list.length > 0 ? { leaving: list } : {}),
      ...(why ? { leavingWhy: why } : {}),
    };
    const { own } = this.#shared.memory.now;
    if (!own) return state;
    return { ...state, own: { ...own, machines: this.#machinesOf(personOf(own.code)) } };
  }

  /** What the machines of a code have written, before one joins them. */
  look(typed: string): Result<readonly OwnMachine[]> {
    const code = readCode(typed);
    if (code === undefined) return fail(noCode);
    const machines = this.#machinesOf(personOf(code));
    return machines.length > 0 ? ok(machines) : fail(nobody(code));
  }

  own(choice: OwnChoice): Result<null> {
    const { memory } = this.#shared;
    if (choice.kind === 'leave') return this.#leave(choice.empty);
    if (memory.now.folder === undefined || !this.#shared.isThere) return fail(noFolder);
    const joined = choice.kind === 'join' ? this.look(choice.code) : undefined;
    if (joined && !joined.ok) return joined;
    const code = choice.kind === 'join' ? readCode(choice.code)! : codeOf(this.#around.newId());
    return this.#own?.begin(code, choice.machine) ?? fail(noFolder);
  }

  /** Null: reports go by hand only. */
  reportsTo(to: string | null): Result<null> {
    const own = this.#around.students.get(OWN_DESK);
    if (to !== null && !own?.knownTo?.some(({ id }) => id === to)) return fail(noTeacher);
    this.#shared.memory.keep({ reports: to === null ? undefined : { to } });
    return ok(null);
  }

  /**
   * Hands on what is new here and takes in what came. Never throws: what went wrong stands as a problem until it works.
   * @param quiet leaves a sitting alone that goes on
   */
  async sync(quiet = false): Promise<Travelled> {
    const { students, leaving } = this.#around;
    leaving.forget(this.#isOff);
    if (!this.#shared.isThere) return NOTHING_TRAVELLED;
    try {
      const before = students.list();
      const came = await this.#own?.sync();
      this.#forgetRemoved();
      leaving.flush();
      this.#tellLost();
      await this.#around.given.lookAfter();
      noteMissing(this.#shared, this.#around.now);
      this.#reports.write(quiet);
      const reports = this.#reports.take();
      const news = {
        ...NOTHING_TRAVELLED,
        ...came,
        both: this.#titlesOf(came?.both ?? []),
        reports,
        takenOff: this.#takenOff(came?.values ?? []),
        forGood: before
          .filter(({ id }) => students.isGone(id))
          .map(({ id, name }) => ({ student: id, name })),
      };
      this.#around.standing.clear(NOT_SHARED);
      if (news.passes + news.values.length + reports.length > 0) this.#around.came(news);
      return news;
    } catch (error) {
      this.#around.standing.raise(notShared(error));
      return NOTHING_TRAVELLED;
    }
  }

  /** At the end of the program: hands on what was not handed on yet. */
  close(): void {
    try {
      this.#own?.tell();
      this.#around.leaving.flush();
      this.#reports.write();
    } catch {
      // It is handed on at the next start.
    }
    this.#around.kept?.close();
  }

  /** Ends sharing. @param takeOut takes away what this machine wrote first */
  async stop(takeOut: boolean): Promise<Result<null>> {
    const stopped = await this.#around.place.stop(takeOut);
    if (stopped.ok) this.#around.leaving.forget(() => true);
    // What was taken away is told anew wherever this machine shares next.
    if (takeOut) this.#around.kept?.of('');
    return stopped;
  }

  #leave(empty: boolean): Result<null> {
    const { memory } = this.#shared;
    const { own } = memory.now;
    if (!own) return ok(null);
    const person = personOf(own.code);
    if (empty) {
      const emptied = this.#shared.empty(
        ({ batch, recording }) =>
          batch?.person === person ||
          // One that was given to a teacher, too, stays where the teacher hears it.
          (recording?.own?.person === person && recording.student === undefined),
      );
      if (!emptied.ok) return emptied;
    }
    memory.keep({ own: undefined });
    this.#around.kept?.of('');
    return ok(null);
  }

  /** Those of students who are not on the list any more. */
  #takenOff(keys: readonly string[]): Travelled['takenOff'] {
    const { students } = this.#around;
    return keys.flatMap((key) => {
      const student = studentOfHead(key);
      if (student === undefined || students.get(student)) return [];
      return [{ student, name: this.#nameOf(student) }];
    });
  }

  /** '' for one who is not known here. */
  #nameOf(student: string): string {
    const { students } = this.#around;
    const removed = students.removed().find(({ document }) => document.id === student);
    return students.get(student)?.name ?? removed?.document.name ?? '';
  }

  #tellLost(): void {
    const { kept, patience } = this.#around;
    const shared = this.#shared;
    const reportAnew = (to: string): boolean => {
      const goesByItself = shared.memory.now.reports?.to === to;
      if (goesByItself) shared.memory.keep({ reports: { to } });
      return goesByItself;
    };
    if (kept)
      tellLostParcels({
        ...{ shared, posted: kept.posted, patience, reportAnew },
        spoilt: ({ kind, student }) => {
          if (kind === 'report' && reportAnew(student)) return;
          this.#around.standing.raise(parcelSpoilt({ kind, student }, this.#nameOf(student)));
        },
      });
  }

  /** Was such a student taken off the list, or removed for good? */
  #isOff = (id: string): boolean => {
    const { students } = this.#around;
    return (
      students.isGone(id) ||
      (!students.get(id) && students.removed().some(({ document }) => document.id === id))
    );
  };

  /** Takes out sheets for students who were taken off the list, here while the folder was away, or elsewhere. */
  #forgetRemoved(): void {
    const { students, place } = this.#around;
    const { memory } = this.#shared;
    const forGood = Object.keys(memory.now.folders ?? {}).filter(students.isGone);
    for (const student of new Set([...this.#shared.sheetsFor(), ...forGood]))
      if (this.#isOff(student)) {
        const emptied = place.forget(student);
        if (!emptied.ok) throw new Error(emptied.problems[0]!.message);
      }
    // A folder that stays for what the student wrote there is nobody's here.
    const folders = Object.entries(memory.now.folders ?? {});
    if (folders.some(([id]) => students.isGone(id)))
      memory.keep({ folders: Object.fromEntries(folders.filter(([id]) => !students.isGone(id))) });
  }

  #titlesOf(keys: readonly string[]): readonly string[] {
    const titles = new Map(this.#around.charts.list().charts.map(({ id, title }) => [id, title]));
    return keys.map((key) => titles.get(key.slice('chart:'.length)) ?? key);
  }

  #machinesOf(person: string): readonly OwnMachine[] {
    const { shelf } = this.#shared.look();
    const mine = this.#shared.writers;
    const segments = [...shelf.values()].filter(({ batch }) => batch?.person === person);
    return [...Map.groupBy(segments, ({ batch }) => batch!.machine)]
      .map(([machine, those]) => ({
        machine,
        records: those.reduce((sum, { batch }) => sum + batch!.facts, 0),
        written: those.toSorted((a, b) => a.number - b.number).at(-1)!.written,
        mine: those.some(({ writer }) => mine.has(writer)),
      }))
      .sort((a, b) => a.machine.localeCompare(b.machine, 'en'));
  }
}

const NOT_SHARED = 'not-shared';

const notShared = (error: unknown): Problem => ({
  code: NOT_SHARED,
  message: `What is new could not go through the shared folder: ${inWords(error)}.`,
  cure: 'Make room or allow writing there; it is tried again by itself. Nothing is lost meanwhile.',
});

/** The code of what is told where a parcel is lost, and was kept in vain; until it is posted again. */
export const spoiltCode = ({ kind, student }: Pick<Parcel, 'kind' | 'student'>): string =>
  `${kind}-spoilt ${student}`;

const parcelSpoilt = (about: Pick<Parcel, 'kind' | 'student'>, name: string): Problem => ({
  code: spoiltCode(about),
  ...(about.kind === 'sheet'
    ? {
        message: `The task sheet ${name === '' ? 'of a student' : `for ${name}`} is gone from the shared folder, and what was kept of it here is damaged`,
        cure: 'Hand it out again from their page. Their tasks are all there.',
      }
    : {
        message:
          'Your practice report is gone from the shared folder, and what was kept of it here is damaged',
        cure: 'Hand it over again. Your passes are all there.',
      }),
});

const noCode: Problem = {
  code: 'no-code',
  message: 'That is not a code: it has eight letters and figures, as in KMQT-7WXA',
  cure: 'Look at it on your other computer, under Sound & care, A shared folder.',
};

const nobody = (code: string): Problem => ({
  code: 'nobody-there',
  message: `Nothing in this folder was written by a computer with the code ${code}`,
  cure: 'Check the code and the folder. If both are right, wait until the files of the other computer have arrived.',
});

const noFolder: Problem = {
  code: 'no-shared-folder',
  message: 'There is no shared folder that could carry your practice',
  cure: 'Choose one first.',
};

const noTeacher: Problem = {
  code: 'no-teacher',
  message: 'That teacher is not known here',
  cure: 'Take in a task sheet first: it says who your teacher is.',
};
