// The teacher's desk and the player's own assignments: read, change, undo; and each student's log.
import {
  active,
  type Assignment,
  OWN_DESK,
  revise,
  type Student,
  type Terms,
} from '../../../app/core/progress/assignment.ts';
import { sayOnBars } from '../../../app/core/progress/as-set.ts';
import { type Listed, listedOf, numbered } from '../../../app/core/progress/whose.ts';
import type { Result } from '../../../app/core/base/result.ts';
import type { IsoDate } from '../../../app/core/base/units.ts';
import {
  type DeskRow,
  type AssignmentStanding,
  rowOf,
} from '../../../app/core/progress/placing.ts';
import type { LogEntry, PassRecord } from '../../../app/core/model/pass.ts';
import { type WordGiven, wordOn } from '../../../app/core/log/teachers-word.ts';
import type { Desk, Services } from '../../../app/services/contract/contract.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import { isoNow, today } from '../../page/clock.ts';
import { setApart } from '../../page/direction.ts';
import { counted } from '../../page/words.ts';
import { mapOf, NO_ENTRIES, withEntry } from '../../page/maps.ts';
import type { PracticeLog } from '../log/practice-log.svelte.ts';
import { LoadedOnce } from '../../../app/core/base/loaded-once.ts';

/** Most entries one call takes; see the contract. */
const CHUNK = 5_000;

interface DeskAround {
  readonly services: Pick<Services, 'call'>;
  readonly messages: Messages;
  /** Is told when something was written. */
  readonly log: Pick<PracticeLog, 'written'>;
}

interface PlacesTold {
  /** What was asked; undefined where the log has changed since. */
  readonly asked: { readonly student: Student; readonly asOf: IsoDate } | undefined;
  readonly places: ReadonlyMap<string, AssignmentStanding>;
}

export class DeskState {
  readonly #around: DeskAround;
  readonly #loading = new LoadedOnce(() => this.#list());
  #read = $state.raw<Desk>();

  /** What was said when a student was taken off, with the offer to undo it. */
  #takenOff: readonly { readonly id: string; readonly words: string }[] = [];
  #loadingRows: Promise<void> | undefined;
  #first: string | undefined;
  #places = $state.raw<ReadonlyMap<string, PlacesTold>>(NO_ENTRIES);

  constructor(around: DeskAround) {
    this.#around = around;
  }

  get loaded(): boolean {
    return this.#read !== undefined;
  }
  /** The player's own desk; an empty one until something was given. */
  get own(): Student {
    return this.#all.find(({ id }) => id === OWN_DESK) ?? emptyDesk();
  }
  get students(): readonly Student[] {
    return this.#all.filter(({ id }) => id !== OWN_DESK);
  }
  /** Removed students that can be brought back, newest first. */
  get removed(): Desk['removed'] {
    return this.#read?.removed ?? [];
  }
  get #all(): readonly Student[] {
    return this.#read?.students ?? [];
  }

  /** The name of each student by id; two of one name are told apart. */
  readonly listed: ReadonlyMap<string, Listed> = $derived(listedOf(this.students));
  labelOf = ({ id, name }: Pick<Student, 'id' | 'name'>): string => {
    const listed = this.listed.get(id) ?? { name };
    return numbered({ ...listed, name: setApart(listed.name) });
  };

  /** Reads the desk the first time it is asked for. */
  load = this.#loading.get;

  /** Reads it anew, where it was read: something came from elsewhere. */
  readAgain = this.#loading.again;

  find = (id: string): Student | undefined => this.#all.find((student) => student.id === id);

  /**
   * Where everything set for a student stands, as it was told last. Undefined before `loadRows` has asked it once;
   * what was set since is left out until it is asked again.
   */
  rowOf = (student: Student): DeskRow | undefined => {
    const told = this.#places.get(student.id);
    return told && rowOf(student, ({ id }) => told.places.get(id), today());
  };

  /**
   * Asks where every student stands of whom that is not known, one after the other: no log is read for it.
   * @param first whose page is open
   */
  loadRows = (asOf: IsoDate, first?: string): Promise<void> => {
    this.#first = first;
    // Looked at also while others are asked, so that an effect follows whatever changes.
    if (!this.#nextUnknown(asOf)) return Promise.resolve();
    this.#loadingRows ??= this.#askRows(asOf).finally(() => (this.#loadingRows = undefined));
    return this.#loadingRows;
  };

  async #askRows(asOf: IsoDate): Promise<void> {
    let student = this.#nextUnknown(asOf);
    for (; student; student = this.#nextUnknown(asOf)) {
      const assignments = active(student.assignments);
      const query = { desk: student.id, asOf, assignments };
      const places = mapOf(await this.#around.services.call('log.places', query));
      this.#places = withEntry(this.#places, student.id, { asked: { student, asOf }, places });
    }
  }

  #nextUnknown(asOf: IsoDate): Student | undefined {
    const unknown = this.students.filter((student) => {
      const asked = this.#places.get(student.id)?.asked;
      return asked?.student.assignments !== student.assignments || asked.asOf !== asOf;
    });
    return unknown.find(({ id }) => id === this.#first) ?? unknown[0];
  }

  /** Something came into these logs: what was told of them is asked again. */
  logsChanged = (ids = this.students.map(({ id }) => id)): void => {
    for (const id of ids) {
      const told = this.#places.get(id);
      if (told)
        this.#places = withEntry(this.#places, id, { asked: undefined, places: told.places });
    }
    this.#around.log.written();
  };

  passesOf = async (student: string): Promise<readonly PassRecord[]> => {
    const { passes, problems } = await this.#around.services.call('log.passes', {
      desk: student,
    });
    this.#around.messages.refuse(problems);
    return passes;
  };

  /** True once it is on disk; otherwise the reason has been said. */
  save = async (student: Student): Promise<boolean> => {
    const sent = $state.snapshot(student) as Student;
    return this.#hold(await this.#around.services.call('students.save', { student: sent }));
  };

  /** Appends entries to a student's log; false when not all could be written. */
  append = async (student: string, entries: readonly LogEntry[]): Promise<boolean> => {
    for (let i = 0; i < entries.length; i += CHUNK) {
      const answer = await this.#around.services.call('log.append', {
        desk: student,
        entries: entries.slice(i, i + CHUNK),
      });
      if (answer.problem) return false;
    }
    this.logsChanged([student]);
    return true;
  };

  /** Puts the teacher's own word on a pass of the student's log, or takes it back; what was judged before stays. */
  judge = async (
    student: Student,
    pass: PassRecord,
    given: Pick<WordGiven, 'verdict' | 'remark'>,
  ): Promise<boolean> => {
    const word = wordOn(pass, { ...given, by: this.own.name, now: isoNow() });
    return this.append(student.id, [{ kind: 'amendment', amendment: word }]);
  };

  remove = async (student: Student): Promise<void> => {
    const removed = await this.#around.services.call('students.remove', { id: student.id });
    if (!removed.ok) return this.#around.messages.refuse(removed.problems);
    // Said with its number: two may bear one name.
    const name = this.labelOf(student);
    this.#takeOff(student);
    // What this machine put into a shared folder for them goes, too.
    await this.#around.services.call('shared.forget', { student: student.id });
    const words = `‘${name}’ was taken off the list. The log stays.`;
    this.#around.messages.say(words, {
      label: 'Undo',
      run: () => void this.restore(student.id),
    });
    this.#takenOff = [...this.#takenOff, { id: student.id, words }];
  };

  /** Of those taken off: with the log, here and on the teacher's other computers. Nobody can undo it. */
  removeForGood = async ({ id, name }: Desk['removed'][number]): Promise<void> => {
    const gone = await this.#around.services.call('students.removeForGood', { id });
    // It cannot be undone any more.
    for (const one of this.#takenOff) if (one.id === id) this.#around.messages.unsay(one.words);
    // What could not be taken out yet is tried again: the person is off both lists.
    if (!gone.ok) this.#around.messages.refuse(gone.problems);
    await this.readAgain();
    if (gone.ok) this.#around.messages.say(`Everything of ‘${name}’ was removed for good.`);
  };

  restore = async (id: string): Promise<void> => {
    this.#hold(await this.#around.services.call('students.restore', { id }));
  };

  give = (student: Student, assignments: readonly Assignment[]): Promise<boolean> =>
    this.save({ ...student, assignments: [...student.assignments, ...assignments] });

  /**
   * Gives each of these students what `make` makes for them, and offers to undo it as a whole.
   * Returns the students that were given something; the first that could not be saved ends it.
   */
  giveAll = async (
    students: readonly Student[],
    make: (student: Student) => readonly Assignment[],
  ): Promise<readonly Student[]> => {
    const done: { student: Student; ids: readonly string[] }[] = [];
    for (const student of students) {
      const assignments = make(student);
      if (assignments.length === 0) continue;
      if (!(await this.give(student, assignments))) break;
      done.push({ student, ids: assignments.map(({ id }) => id) });
    }
    const count = done.reduce((sum, { ids }) => sum + ids.length, 0);
    if (count > 0) {
      const words = `${counted(count, 'thing')} set for ${counted(done.length, 'student')}.`;
      this.#around.messages.say(words, {
        label: 'Undo',
        run: () => void this.#takeOut(done),
      });
    }
    return done.map(({ student }) => this.find(student.id) ?? student);
  };

  async #takeOut(
    given: readonly { readonly student: Student; readonly ids: readonly string[] }[],
  ): Promise<void> {
    for (const { student, ids } of given) {
      const now = this.find(student.id);
      if (!now) continue;
      await this.save({
        ...now,
        assignments: now.assignments.filter(({ id }) => !ids.includes(id)),
      });
    }
  }

  /**
   * Changes what is set for each of these students, and offers to undo it as a whole. The first that could
   * not be saved ends it. @param what is said of it, e.g. "changed"
   */
  changeAll = async (
    students: readonly Student[],
    change: (student: Student) => Student,
    what: string,
  ): Promise<void> => {
    const done: { id: string; before: readonly Assignment[] }[] = [];
    for (const student of students) {
      const next = change(student);
      const before = student.assignments.filter((one) => !next.assignments.includes(one));
      if (before.length === 0) continue;
      if (!(await this.save(next))) break;
      done.push({ id: student.id, before });
    }
    const count = done.reduce((sum, { before }) => sum + before.length, 0);
    if (count === 0) return this.#around.messages.say('Nothing had to be changed.');
    const words = `${counted(count, 'thing')} ${what} for ${counted(done.length, 'student')}.`;
    this.#around.messages.say(words, { label: 'Undo', run: () => void this.#putBack(done) });
  };

  /** What was set stands again as it was; what came to be since stays. */
  async #putBack(
    done: readonly { readonly id: string; readonly before: readonly Assignment[] }[],
  ): Promise<void> {
    for (const { id, before } of done) {
      const now = this.find(id);
      if (!now) continue;
      const assignments = now.assignments.map(
        (one) => before.find((earlier) => earlier.id === one.id) ?? one,
      );
      await this.save({ ...now, assignments });
    }
  }

  reviseTerms = (student: Student, assignment: Assignment, terms: Terms): Promise<boolean> =>
    this.#change(student, revise(assignment, terms, isoNow()));

  /** Lets passes on other bars count for an assignment, or no longer. */
  acceptBars = (
    student: Student,
    assignment: Assignment,
    fingerprint: string,
    counts: boolean,
  ): Promise<boolean> =>
    this.#change(student, sayOnBars(assignment, fingerprint, counts, isoNow()));

  /** Kept as history. */
  withdraw = (student: Student, assignment: Assignment): Promise<boolean> =>
    this.#change(student, { ...assignment, withdrawn: isoNow() });

  comment = (student: Student, text: string, by: string, about?: string): Promise<boolean> =>
    this.save({
      ...student,
      comments: [
        ...student.comments,
        {
          id: crypto.randomUUID(),
          at: isoNow(),
          by,
          text,
          ...(about === undefined ? {} : { assignment: about }),
        },
      ],
    });

  /** A question of the player's own, for the next report. */
  ask = (text: string): Promise<boolean> => {
    const { own } = this;
    const by = own.knownAs?.name || own.name;
    const question = { id: crypto.randomUUID(), at: isoNow(), by, text, question: true } as const;
    return this.save({ ...own, comments: [...own.comments, question] });
  };

  async #list(): Promise<void> {
    this.#read = await this.#around.services.call('students.list', {});
  }

  #hold(answer: Result<Student>): boolean {
    if (!answer.ok) {
      this.#around.messages.refuse(answer.problems);
      return false;
    }
    const student = answer.value;
    const others = this.#all.filter(({ id }) => id !== student.id);
    const at = this.#all.findIndex(({ id }) => id === student.id);
    const students = others.toSpliced(at < 0 ? others.length : at, 0, student);
    this.#read = {
      students,
      removed: this.removed.filter(({ id }) => id !== student.id),
    };
    return true;
  }

  #takeOff({ id, name }: Student): void {
    this.#read = {
      students: this.#all.filter((student) => student.id !== id),
      removed: [{ id, name, at: isoNow() }, ...this.removed],
    };
  }

  #change(student: Student, changed: Assignment): Promise<boolean> {
    const assignments = student.assignments.map((one) => (one.id === changed.id ? changed : one));
    return this.save({ ...student, assignments });
  }
}

const emptyDesk = (): Student => ({
  id: OWN_DESK,
  name: '',
  since: isoNow(),
  assignments: [],
  comments: [],
});
