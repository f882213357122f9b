// Whose a file is: told before it is taken in; and names by which two students of one name are told apart.
import type { Student } from './assignment.ts';

interface Person {
  readonly id: string;
  readonly name: string;
}

/** A student as a list of the teacher's names them. */
export interface Listed extends Person {
  /** Which of several of this name; absent where there is one. */
  readonly number?: number;
}

/** Is a task sheet meant for the player who opens it? */
export type ForWhom =
  | { readonly kind: 'mine' }
  /** The first sheet, or one that names nobody else. */
  | { readonly kind: 'first' }
  /** For one of this name, but in a list that is not known here: another teacher, or made anew. */
  | { readonly kind: 'another-list'; readonly name: string }
  /** For another of this name on the list of the same teacher; both with their numbers. */
  | { readonly kind: 'namesake'; readonly name: string; readonly me: string }
  /** Another name than the player's. */
  | { readonly kind: 'someone-else'; readonly name: string; readonly me: string };

/** @param teacher who wrote it; empty where that is not known */
export function sheetIsFor(own: Student, to: Listed, teacher = ''): ForWhom {
  const known = own.knownAs;
  const lists = own.knownTo ?? (known ? [{ ...known, teacher: '' }] : []);
  if (lists.some(({ id }) => id === to.id)) return { kind: 'mine' };
  const me = known?.name || own.name;
  if (plain(me) === '' || plain(to.name) === '') return { kind: 'first' };
  if (plain(me) !== plain(to.name)) return { kind: 'someone-else', name: to.name, me };
  if (!known) return { kind: 'first' };
  const there = lists.find(
    (list) => plain(teacher) !== '' && plain(list.teacher) === plain(teacher),
  );
  return there && to.number !== undefined
    ? { kind: 'namesake', name: numbered(to), me: numbered(there) }
    : { kind: 'another-list', name: to.name };
}

/** Whose is a report, on a desk of several students? */
export type FromWhom =
  | { readonly kind: 'known'; readonly student: Student }
  /** Nobody here has this identity, but some have the name: most likely it is one of them. */
  | { readonly kind: 'namesake'; readonly students: readonly Student[] }
  | { readonly kind: 'new' };

/** By identity, also an earlier one, and only then by name. */
export function reportIsFrom(students: readonly Student[], from: Person): FromWhom {
  const known =
    students.find(({ id }) => id === from.id) ??
    students.find(({ reportsAs }) => reportsAs?.includes(from.id) === true);
  if (known) return { kind: 'known', student: known };
  const namesakes = students.filter(({ name }) => plain(name) === plain(from.name));
  return namesakes.length > 0 ? { kind: 'namesake', students: namesakes } : { kind: 'new' };
}

/**
 * A report of one person that is to go to another student of the desk; undefined where nothing speaks against it.
 * @param into its name as the list shows it
 * @param owner the other student on this desk, as the list shows them, whose reports bear this identity
 */
export function sayMismatch(
  into: Student | undefined,
  from: Person,
  owner?: string,
): string | undefined {
  if (!into || into.id === from.id) return undefined;
  const known = into.reportsAs?.includes(from.id) === true;
  if (owner === undefined && (known || plain(into.name) === plain(from.name))) return undefined;
  const whose = owner ?? (from.name || 'somebody without a name');
  const other = owner !== undefined && plain(into.name) === plain(from.name);
  return `This report is of ${whose}. Its passes would stand in the log of ${other ? `the other ${into.name}` : into.name}.`;
}

/**
 * Each student by id as lists and files name them: with a number where others bear the same name, in the order in
 * which they came. @param students all that stand in the list, in any order.
 */
export function listedOf(students: readonly Student[]): ReadonlyMap<string, Listed> {
  const listed = new Map<string, Listed>();
  for (const namesakes of Map.groupBy(students, ({ name }) => plain(name)).values()) {
    const inOrder = namesakes.toSorted(
      (a, b) => Date.parse(a.since) - Date.parse(b.since) || (a.id < b.id ? -1 : 1),
    );
    inOrder.forEach(({ id, name }, i) => {
      listed.set(id, { id, name, ...(inOrder.length > 1 && { number: i + 1 }) });
    });
  }
  return listed;
}

/** A label for each student by id; see {@link listedOf}. */
export const labelsOf = (students: readonly Student[]): ReadonlyMap<string, string> =>
  new Map([...listedOf(students)].map(([id, one]) => [id, numbered(one)]));

/** "Ada (2)" where there are several of the name. */
export function numbered({ name, number }: Omit<Listed, 'id'>): string {
  const shown = name.trim() || 'Without a name';
  return number === undefined ? shown : `${shown} (${number})`;
}

/** Names are the same whatever their case, accents' form and spaces. */
const plain = (name: string): string =>
  name.normalize('NFKC').trim().replace(/\s+/g, ' ').toLocaleLowerCase('en');
