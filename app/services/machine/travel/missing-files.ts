// Files of other machines that are waited for: how many, since when, and whose they are as far as anybody here knows.
import { isoTimeOf } from '../../../core/base/iso-time.ts';
import { type OnShelf, type Shelf, writersOf } from '../../../core/exchange/shared/shelf.ts';
import { personOf } from '../../../core/exchange/shared/person.ts';
import { OWN_DESK, type Student } from '../../../core/progress/assignment.ts';
import type { MissingFiles, WhoseFiles } from '../../contract/shared.ts';
import type { SharedFolder } from '../shared/shared-folder.ts';
import type { Documents } from '../store/documents.ts';

/** Remembers since when each is waited for. */
export function noteMissing(shared: SharedFolder, now: () => Date): void {
  const { memory } = shared;
  const before = memory.now.waitedFor ?? [];
  const waited = missingOn(shared.look().shelf, shared.writers).flatMap(({ writer, missing }) => {
    const known = before.filter((one) => one.writer === writer);
    const noted = new Set(known.flatMap(({ numbers }) => numbers));
    const still = known.map((one) => ({
      ...one,
      numbers: one.numbers.filter((number) => missing.includes(number)),
    }));
    const news = missing.filter((number) => !noted.has(number));
    return [...still, { writer, since: isoTimeOf(now()), numbers: news }].filter(
      ({ numbers }) => numbers.length > 0,
    );
  });
  if (JSON.stringify(waited) !== JSON.stringify(before))
    memory.keep({ waitedFor: waited.length > 0 ? waited : undefined });
}

/** @param students the list here, and the player's own desk */
export function missingFiles(
  shared: SharedFolder,
  students: Pick<Documents<Student>, 'get'>,
): readonly MissingFiles[] {
  const noted = shared.memory.now.waitedFor ?? [];
  const { shelf } = shared.look();
  return missingOn(shelf, shared.writers).map(({ writer, missing }) => {
    const there = [...shelf.values()]
      .filter((one) => one.writer === writer)
      .toSorted((a, b) => a.number - b.number);
    const after = there.findLast(({ number }) => number < missing[0]!);
    const before = there.find(({ number }) => number > missing.at(-1)!);
    const since = noted
      .filter((one) => one.writer === writer)
      .map((one) => one.since)
      .toSorted((a, b) => Date.parse(a) - Date.parse(b))[0];
    return {
      whose: whoseOf(there, shared, students),
      numbers: missing,
      ...(since === undefined ? {} : { since }),
      ...(after ? { after: after.written } : {}),
      ...(before ? { before: before.written } : {}),
    };
  });
}

/** Of machines but this one. */
const missingOn = (shelf: Shelf, mine: ReadonlySet<string>) =>
  writersOf(shelf).filter(({ writer, missing }) => missing.length > 0 && !mine.has(writer));

/** By what lies there of the same writer, newest first. */
function whoseOf(
  there: readonly OnShelf[],
  shared: SharedFolder,
  students: Pick<Documents<Student>, 'get'>,
): WhoseFiles {
  const { own } = shared.memory.now;
  const person = own && personOf(own.code);
  const lists = students.get(OWN_DESK)?.knownTo ?? [];
  const known = (id: string): boolean => id !== OWN_DESK && students.get(id) !== undefined;
  const whose = there.toReversed().map(({ batch, recording, parcel }): WhoseFiles | undefined => {
    const told = batch ?? recording?.own;
    if (told && told.person === person) return { kind: 'own', machine: told.machine };
    const from = recording?.student ?? (parcel?.kind === 'report' ? parcel.student : undefined);
    if (from !== undefined && known(from)) return { kind: 'student', student: from };
    const list = parcel?.kind === 'sheet' && lists.find(({ id }) => id === parcel.student);
    return list ? { kind: 'teacher', teacher: list.teacher } : undefined;
  });
  return whose.find((one) => one !== undefined) ?? { kind: 'unknown' };
}
