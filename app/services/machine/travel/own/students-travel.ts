// A teacher's students, as they go between the teacher's own machines: each task, comment and lesson is a value of its own.
import { textOrder } from '../../../../core/base/text-order.ts';
import type { Json } from '../../../../core/exchange/shared/facts.ts';
import { OWN_DESK, type Student } from '../../../../core/progress/assignment.ts';
import { studentKind } from '../../store/students.ts';
import type { Documents } from '../../store/documents.ts';
import { type Traveller, valuesOf } from './traveller.ts';

const PREFIX = 'student:';
/** Lists whose entries are values of their own, by the name of such an entry. */
const LISTS = { task: 'assignments', comment: 'comments', lesson: 'lessons' } as const;
type Part = keyof typeof LISTS;
const PARTS = Object.keys(LISTS) as readonly Part[];
/** Name, group and all that is no list. */
const HEAD = 'head';
/** In which order the tasks stand. */
const ORDER = 'order';

const keyOf = (student: string, part: string): string =>
  `${PREFIX}${encodeURIComponent(student)}/${part}`;
const studentIn = (key: string): string =>
  decodeURIComponent(key.slice(PREFIX.length, key.indexOf('/')));
const partIn = (key: string): string => key.slice(key.indexOf('/') + 1);

/** Whose first value it is; undefined for any other. */
export const studentOfHead = (key: string): string | undefined =>
  key.startsWith(PREFIX) && partIn(key) === HEAD ? studentIn(key) : undefined;

/** @param rests whether they may not be told of now: others could read it */
export const studentsTravel = (students: Documents<Student>, rests: () => boolean): Traveller => ({
  prefixes: [PREFIX],
  wholeOf: (key) => {
    const parts = key.slice(0, key.indexOf('/') + 1);
    return { key: `${parts}${HEAD}`, parts };
  },
  studentOf: studentIn,
  rests,
  values: () => valuesOf(others(students).flatMap((one) => [...partsOf(one)])),
  take: (values, standing) => {
    const waiting = new Set<string>();
    for (const [id, keys] of Map.groupBy(values.keys(), studentIn)) {
      // Nothing of somebody who was removed for good is kept.
      if (students.isGone(id)) continue;
      const head = standing(keyOf(id, HEAD));
      if (head === undefined || head === null) {
        // Who is not known here has not arrived yet, or was taken off the list; then the rest stays unused.
        if (students.get(id)) students.remove(id);
        keys.filter((key) => values.get(key) !== null).forEach((key) => waiting.add(key));
        continue;
      }
      const known = students.get(id);
      const parts = new Map(known ? partsOf(known) : [[keyOf(id, HEAD), head]]);
      for (const key of keys) {
        const value = values.get(key) ?? null;
        if (value === null) parts.delete(key);
        else parts.set(key, value);
      }
      const read = studentKind.parse(studentOf(id, parts, standing(keyOf(id, ORDER))));
      const done = read.ok ? students.save(read.value) : read;
      if (!done.ok) throw new Error(done.problems[0]!.message);
    }
    return waiting;
  },
});

const others = (students: Documents<Student>): readonly Student[] =>
  students.list().filter(({ id }) => id !== OWN_DESK);

function partsOf(student: Student): ReadonlyMap<string, Json> {
  const { id, assignments, comments, lessons, ...head } = student;
  const lists = { assignments, comments, lessons };
  const entries: readonly (readonly [string, unknown])[] = [
    [HEAD, head],
    ...PARTS.flatMap((part) =>
      (lists[LISTS[part]] ?? []).map((one) => [`${part}:${one.id}`, one] as const),
    ),
    ...(assignments.length > 0 ? [[ORDER, assignments.map((one) => one.id)] as const] : []),
  ];
  return new Map(entries.map(([part, value]) => [keyOf(id, part), value as Json]));
}

function studentOf(id: string, parts: ReadonlyMap<string, Json>, order: Json | undefined): unknown {
  const places = new Map((Array.isArray(order) ? order : []).map((one, i) => [one as string, i]));
  type Dated = { readonly id: string } & Readonly<Partial<Record<'given' | 'at' | 'on', string>>>;
  const when = ({ given, at, on }: Dated): string => given ?? at ?? on ?? '';
  const all = (part: Part): Dated[] =>
    [...parts]
      .filter(([key]) => partIn(key).startsWith(`${part}:`))
      .map(([, value]) => value as unknown as Dated)
      .sort(
        (a, b) =>
          (places.get(a.id) ?? Infinity) - (places.get(b.id) ?? Infinity) ||
          textOrder(when(a), when(b)) ||
          textOrder(a.id, b.id),
      );
  const [assignments, comments, lessons] = PARTS.map(all);
  return {
    ...(parts.get(keyOf(id, HEAD)) as object),
    ...{ id, assignments, comments },
    ...(lessons!.length > 0 ? { lessons } : {}),
  };
}
