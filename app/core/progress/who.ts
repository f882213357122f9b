// Whose a file is: told before it is taken in; and names by which two students of one name are told apart.
import type { Student } from './assignment.ts';

interface Person {
  readonly id: string;
  readonly name: string;
}

/** Is a task sheet meant for the player who opens it? */
export type ForWhom =
  | { readonly kind: 'mine' }
  /** The first sheet, or one that names nobody else. */
  | { readonly kind: 'first' }
  /** For one of this name, but in a list that is not known here: another teacher, or two of one name. */
  | { readonly kind: 'another-list'; readonly name: string }
  /** Another name than the player's. */
  | { readonly kind: 'someone-else'; readonly name: string; readonly me: string };

export function sheetIsFor(own: Student, to: Person): ForWhom {
  const known = own.knownAs;
  const lists = own.knownTo ?? (known ? [known] : []);
  if (lists.some(({ id }) => id === to.id)) return { kind: 'mine' };
  const me = known?.name || own.name;
  if (plain(me) === '' || plain(to.name) === '') return { kind: 'first' };
  if (plain(me) !== plain(to.name)) return { kind: 'someone-else', name: to.name, me };
  return known ? { kind: 'another-list', name: to.name } : { kind: 'first' };
}

/** Whose is a report, on a desk of several students? */
export type FromWhom =
  | { readonly kind: 'known'; readonly student: Student }
  /** Nobody here has this identity, but some have the name: most likely it is one of them. */
  | { readonly kind: 'namesake'; readonly students: readonly Student[] }
  | { readonly kind: 'new' };

export function reportIsFrom(students: readonly Student[], from: Person): FromWhom {
  const known = students.find(
    ({ id, reportsAs }) => id === from.id || reportsAs?.includes(from.id) === true,
  );
  if (known) return { kind: 'known', student: known };
  const namesakes = students.filter(({ name }) => plain(name) === plain(from.name));
  return namesakes.length > 0 ? { kind: 'namesake', students: namesakes } : { kind: 'new' };
}

/** A report of one person that is to go to another student of the desk; undefined where nothing speaks against it. */
export function sayMismatch(into: Student | undefined, from: Person): string | undefined {
  if (!into || into.id === from.id || into.reportsAs?.includes(from.id)) return undefined;
  if (plain(into.name) === plain(from.name)) return undefined;
  return `This report is of ${from.name || 'somebody without a name'}. Its passes would stand in the log of ${into.name}.`;
}

/**
 * A label for each student by id: the name, and a number where others bear the same one, in the order in
 * which they came. @param students all that stand in the list, in any order.
 */
export function labelsOf(students: readonly Student[]): ReadonlyMap<string, string> {
  const labels = new Map<string, string>();
  for (const namesakes of Map.groupBy(students, ({ name }) => plain(name)).values()) {
    const inOrder = namesakes.toSorted(
      (a, b) => Date.parse(a.since) - Date.parse(b.since) || (a.id < b.id ? -1 : 1),
    );
    inOrder.forEach(({ id, name }, i) => {
      const shown = name.trim() || 'Without a name';
      labels.set(id, inOrder.length > 1 ? `${shown} (${i + 1})` : shown);
    });
  }
  return labels;
}

/** Names are the same whatever their case, accents' form and spaces. */
const plain = (name: string): string =>
  name.normalize('NFKC').trim().replace(/\s+/g, ' ').toLocaleLowerCase('en');
