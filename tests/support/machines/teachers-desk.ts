// A teacher's students on a machine in memory, as the program keeps them: the list, who was removed for good, and how both travel.
import type { Student } from '../../../app/core/progress/assignment.ts';
import type { Keeping } from '../../../app/services/machine/archive/keeping.ts';
import type { LogStore } from '../../../app/services/machine/log/log-store.ts';
import { People } from '../../../app/services/machine/people/people.ts';
import { Documents } from '../../../app/services/machine/store/documents.ts';
import { studentKind } from '../../../app/services/machine/store/students.ts';
import type { Fuse } from './fuse.ts';

type ListFile = ConstructorParameters<typeof Documents<Student>>[1];
type List = ListFile['value'];

/** What would stand in `students.json`. */
export interface KeptList {
  value: List;
}
export const noStudents = (): KeptList => ({ value: { items: [], removed: [] } });

export interface TeachersDesk {
  readonly students: Documents<Student>;
  readonly people: People;
}

interface DeskAround {
  readonly kept: KeptList;
  readonly store: LogStore;
  /** Nothing is kept there. */
  readonly directory: string;
  readonly now: () => Date;
  readonly fuse: Fuse;
}

/** As it is opened at a start. */
export function openDesk({ kept, store, directory, now, fuse }: DeskAround): TeachersDesk {
  const file: ListFile = {
    value: kept.value,
    ...{ problems: [], writable: true, earlier: () => undefined },
    save: (value) => {
      fuse.burn();
      kept.value = structuredClone(value);
      fuse.burn();
    },
    ...{ changeCopies: () => undefined, setAside: () => undefined },
  };
  const students = new Documents(studentKind, file, { root: directory, now });
  const log = {
    store,
    forget: (isGone: (desk: string) => boolean) => {
      fuse.burn();
      return store.forget(isGone);
    },
  };
  const folder = { directory, writable: true };
  const people = new People({ students, log, folder, now } as unknown as Keeping);
  return { students, people };
}
