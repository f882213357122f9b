// Recordings in the shared folder: given from here, heard by the teacher and by the player's other machines, taken back.
// What was given is heard where it lies and copied nowhere, so that taking it back takes it from everybody.
import { fail, ok, type Problem, type Result } from '../../../core/base/result.ts';
import { soundKind } from '../../../core/exchange/recording.ts';
import { personOf } from '../../../core/exchange/shared/person.ts';
import type { OnShelf } from '../../../core/exchange/shared/shelf.ts';
import { OWN_DESK, type Student } from '../../../core/progress/assignment.ts';
import type { FilePart } from '../../contract/archives.ts';
import type { OpenedSound, SharedRecording } from '../../contract/recordings.ts';
import { plainNote } from '../recordings/recording-files.ts';
import type { OpenRecordings } from '../recordings/recording-calls.ts';
import { soundPart } from '../recordings/sound-part.ts';
import type { GivenFile } from '../shared/memory.ts';
import type { FileOf } from '../shared/own-files.ts';
import type { Patience } from '../shared/patience.ts';
import type { SharedFolder } from '../shared/shared-folder.ts';
import { LostRecordings } from './lost-recordings.ts';
import type { Documents } from '../store/documents.ts';

export interface GivenAround {
  readonly shared: SharedFolder;
  readonly recordings: OpenRecordings;
  readonly students: Documents<Student>;
  readonly patience?: Patience | undefined;
}

export class GivenRecordings {
  readonly #around: GivenAround;
  /** The sound that was opened last: it is fetched in several parts. */
  #opened: { readonly file: string; readonly content: Uint8Array } | undefined;

  readonly #lost: LostRecordings;

  constructor(around: GivenAround) {
    this.#around = around;
    const { shared, patience } = around;
    this.#lost = new LostRecordings({
      ...{ shared, patience },
      giveAgain: (given) => this.#giveAgain(given),
    });
  }

  list(): readonly SharedRecording[] {
    const { shelf } = this.#around.shared.look();
    // A syncing program may have left a copy of what its writer emptied: emptied is for good.
    const emptied = new Set([...shelf.values()].filter(isEmpty).map(placeOf));
    return [...shelf].flatMap(([file, segment]) => {
      const from = this.#from(segment);
      const { note, bytes } = segment.recording ?? {};
      const stands = from && note && bytes !== undefined && !emptied.has(placeOf(segment));
      return stands ? [{ file, note, bytes, from }] : [];
    });
  }

  /** @param to the list of a teacher; null: for the player's other machines only */
  async give(id: string, to: string | null): Promise<Result<null>> {
    const given = await this.#put(id, to);
    if (!given.ok) return given;
    // Given anew, to somebody else or with another remark, it takes the place of what was given before.
    const { writer, number } = given.value;
    return this.#empty(id, (one) => one.writer !== writer || one.number !== number);
  }

  /** Gives again what was lost on the way, and looks after what was not. @throws Error where it cannot be written */
  lookAfter(): Promise<void> {
    return this.#lost.look();
  }

  async #giveAgain({ id, to }: GivenFile): Promise<Result<FileOf> | undefined> {
    const given = await this.#put(id, to ?? null);
    const [problem] = given.ok ? [] : given.problems;
    return problem && !problem.code.startsWith('shared-') ? undefined : given;
  }

  async #put(id: string, to: string | null): Promise<Result<FileOf>> {
    const { shared, recordings, students } = this.#around;
    const { own } = shared.memory.now;
    const lists = students.get(OWN_DESK)?.knownTo ?? [];
    if (to === null ? !own : !lists.some((list) => list.id === to)) return fail(forNobody);
    const sound = (await recordings()).sound(id);
    if (!sound.ok) return sound;
    return shared.give({
      note: plainNote(sound.value.note),
      ...(to === null ? {} : { student: to }),
      ...(own ? { own: { person: personOf(own.code), machine: own.machine } } : {}),
      sound: Buffer.from(sound.value.content).toString('base64'),
    });
  }

  /** Refused where the folder cannot be reached now; nothing to take back is fine. */
  takeBack(id: string): Result<null> {
    const { shared } = this.#around;
    if (shared.memory.now.folder === undefined) return ok(null);
    if (!shared.isThere) return fail(away);
    const emptied = this.#empty(id, () => true);
    if (!emptied.ok) return emptied;
    const told = this.#lost.takenBack(id);
    return told.ok ? ok(null) : told;
  }

  #empty(id: string, which: (segment: OnShelf) => boolean): Result<null> {
    const emptied = this.#around.shared.empty(
      (segment) => segment.recording?.note.id === id && which(segment),
    );
    return emptied.ok ? ok(null) : emptied;
  }

  open(file: string): Result<OpenedSound> {
    const content = this.#content(file);
    const kind = content && soundKind(content);
    if (!content) return fail(gone);
    return kind ? ok({ bytes: content.length, kind, whole: true }) : fail(unplayable);
  }

  part(file: string, from: number): Result<FilePart> {
    const content = this.#content(file);
    return content ? ok(soundPart(content, from)) : fail(gone);
  }

  #content(file: string): Uint8Array | undefined {
    if (this.#opened?.file === file) return this.#opened.content;
    const isThere = this.list().some((one) => one.file === file);
    const recording = isThere ? this.#around.shared.recording(file) : undefined;
    if (!recording) return undefined;
    this.#opened = { file, content: Buffer.from(recording.sound, 'base64') };
    return this.#opened.content;
  }

  /** Whose it is; undefined where it is for nobody here. */
  #from({ recording, writer }: OnShelf): SharedRecording['from'] | undefined {
    if (!recording) return undefined;
    const { shared, students } = this.#around;
    const { own, student } = recording;
    if (shared.writers.has(writer))
      return { kind: 'here', ...(student === undefined ? {} : { to: student }) };
    const { own: here } = shared.memory.now;
    if (here && own?.person === personOf(here.code)) return { kind: 'own', machine: own.machine };
    return student !== undefined && student !== OWN_DESK && students.get(student)
      ? { kind: 'student', student }
      : undefined;
  }
}

const isEmpty = ({ parcel, batch, recording }: OnShelf): boolean => !parcel && !batch && !recording;
const placeOf = ({ writer, number }: OnShelf): string => `${writer} ${number}`;

const forNobody: Problem = {
  code: 'recording-for-nobody',
  message: 'There is nobody here to give this recording to',
  cure: 'Take in a task sheet of your teacher first, or join your computers, under Sound & care.',
};

const away: Problem = {
  code: 'shared-away',
  message: 'This recording was given into the shared folder, and that is not there now',
  cure: 'Connect its drive; then it can be taken out there, too.',
};

const gone: Problem = {
  code: 'recording-gone',
  message: 'This recording is not in the shared folder any more: who gave it has taken it back',
  cure: 'Ask for it again.',
};

const unplayable: Problem = {
  code: 'recording-unplayable',
  message: 'What was given is no sound that can be played here',
  cure: 'Ask for it again.',
};
