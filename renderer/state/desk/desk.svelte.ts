// The teacher's desk and the player's own assignments: read, change, undo; and each student's log.
import {
  type Assignment,
  OWN_DESK,
  revise,
  type Student,
  type Terms,
} from '../../../app/core/progress/assignment.ts';
import type { LogEntry, PassRecord } from '../../../app/core/model/pass.ts';
import { type WordGiven, wordOn } from '../../../app/core/log/teachers-word.ts';
import type { Desk } from '../../../app/services/contract/contract.ts';
import { call } from '../../services.ts';
import { messages } from '../messages.svelte.ts';
import { isoNow } from '../log/today.ts';
import { UnitRecords } from '../log/unit-records.ts';

/** Most entries one call takes; see the contract. */
const CHUNK = 5_000;

class DeskState {
  #read = $state.raw<Desk>();
  #logs = $state.raw<ReadonlyMap<string, UnitRecords>>(new Map());

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

  load = async (): Promise<void> => {
    this.#read = await call('students.list', {});
    messages.refuse(this.#read.problems);
  };

  find = (id: string): Student | undefined => this.#all.find((student) => student.id === id);

  /** The student's passes by unit; empty until `loadLogs` has read them. */
  recordsOf = (student: string): UnitRecords => this.#logs.get(student) ?? NO_RECORDS;

  /** Reads the logs of all students, or of one anew. */
  loadLogs = async (ids = this.students.map(({ id }) => id)): Promise<void> => {
    const read = await Promise.all(
      ids.map(async (id) => [id, new UnitRecords(await this.passesOf(id))] as const),
    );
    this.#logs = new Map([...this.#logs, ...read]);
  };

  passesOf = async (student: string): Promise<readonly PassRecord[]> => {
    const { passes, problems } = await call('log.history', { desk: student });
    messages.refuse(problems);
    return passes;
  };

  /** True once it is on disk; otherwise the reason has been said. */
  save = async (student: Student): Promise<boolean> => {
    const saved = await call('students.save', { student: $state.snapshot(student) as Student });
    if (!saved.ok) messages.refuse(saved.problems);
    await this.load();
    return saved.ok;
  };

  /** Appends entries to a student's log; false when not all could be written. */
  append = async (student: string, entries: readonly LogEntry[]): Promise<boolean> => {
    for (let i = 0; i < entries.length; i += CHUNK) {
      const answer = await call('log.append', {
        desk: student,
        entries: entries.slice(i, i + CHUNK),
      });
      if (answer.problem) return false;
    }
    return true;
  };

  /** Puts the teacher's own word on a pass of the student's log, or takes it back; what was judged before stays. */
  judge = async (
    student: Student,
    pass: PassRecord,
    given: Pick<WordGiven, 'verdict' | 'remark'>,
  ): Promise<boolean> => {
    const word = wordOn(pass, { ...given, by: this.own.name, now: isoNow() });
    const kept = await this.append(student.id, [{ kind: 'amendment', amendment: word }]);
    await this.loadLogs([student.id]);
    return kept;
  };

  remove = async (student: Student): Promise<void> => {
    const removed = await call('students.remove', { id: student.id });
    if (!removed.ok) return messages.refuse(removed.problems);
    await this.load();
    messages.say(`‘${student.name}’ was taken off the desk. The log stays.`, {
      label: 'Undo',
      run: () => void this.restore(student.id),
    });
  };

  restore = async (id: string): Promise<void> => {
    const restored = await call('students.restore', { id });
    if (!restored.ok) messages.refuse(restored.problems);
    await this.load();
  };

  give = (student: Student, assignments: readonly Assignment[]): Promise<boolean> =>
    this.save({ ...student, assignments: [...student.assignments, ...assignments] });

  reviseTerms = (student: Student, assignment: Assignment, terms: Terms): Promise<boolean> =>
    this.#change(student, revise(assignment, terms, isoNow()));

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

  #change(student: Student, changed: Assignment): Promise<boolean> {
    const assignments = student.assignments.map((one) => (one.id === changed.id ? changed : one));
    return this.save({ ...student, assignments });
  }
}

const NO_RECORDS = new UnitRecords([]);

const emptyDesk = (): Student => ({
  id: OWN_DESK,
  name: '',
  since: isoNow(),
  assignments: [],
  comments: [],
});

export const desk = new DeskState();
