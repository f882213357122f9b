// What waits in a folder that several teachers share: whose it is, as far as what lies there tells.
import { personOf } from '../../../core/exchange/shared/person.ts';
import { OWN_DESK, type Student } from '../../../core/progress/assignment.ts';
import type { WaitingParcel } from '../../contract/shared.ts';
import type { SharedFolder } from '../shared/shared-folder.ts';
import type { Documents } from '../store/documents.ts';

/**
 * Leaves out reports for the lists of other teachers who write there, and marks sheets of teachers who have written none
 * for the player yet.
 */
export function waitingForHere(
  waiting: readonly WaitingParcel[],
  shared: SharedFolder,
  students: Pick<Documents<Student>, 'get'>,
): readonly WaitingParcel[] {
  if (waiting.length === 0) return waiting;
  const { shelf } = shared.look();
  const all = [...shelf.values()];
  const { own } = shared.memory.now;
  const person = own && personOf(own.code);
  const mine = new Set(shared.writers);
  for (const { writer, batch } of all) if (batch && batch.person === person) mine.add(writer);
  const sheets = all.flatMap(({ writer, parcel }) =>
    parcel?.kind === 'sheet' ? [{ writer, student: parcel.student }] : [],
  );
  const lists = new Set(students.get(OWN_DESK)?.knownTo?.map(({ id }) => id));
  const known = new Set(sheets.flatMap((one) => (lists.has(one.student) ? [one.writer] : [])));
  const elsewhere = new Set(sheets.flatMap((one) => (mine.has(one.writer) ? [] : [one.student])));
  return waiting.flatMap((one): readonly WaitingParcel[] => {
    if (one.kind === 'sheet')
      return known.has(shelf.get(one.id)?.writer ?? '') ? [one] : [{ ...one, newTeacher: true }];
    return students.get(one.student) || !elsewhere.has(one.student) ? [one] : [];
  });
}
