// What the player was given and set, as it goes from machine to machine: each task and each comment is a value of its own.
import type { Json } from '../../../../core/exchange/shared/facts.ts';
import { isoTimeOf } from '../../../../core/base/iso-time.ts';
import { textOrder } from '../../../../core/base/text-order.ts';
import { OWN_DESK, type Student } from '../../../../core/progress/assignment.ts';
import type { Documents } from '../../store/documents.ts';
import { type Traveller, valuesOf } from './traveller.ts';

const FIELD = 'desk:';
const TASK = 'task:';
const COMMENT = 'comment:';
/** In which order the tasks stand. */
const ORDER = 'desk:order';

/** One's own desk: its fields, what is set on it, and comments. */
export const deskTravel = (students: Documents<Student>, now: () => Date): Traveller => ({
  prefixes: [FIELD, TASK, COMMENT],
  values: () => {
    const own = students.get(OWN_DESK);
    return valuesOf(own ? partsOf(own) : []);
  },
  take: (values, standing) => {
    const own = students.get(OWN_DESK);
    const merged = new Map(own ? partsOf(own) : []);
    for (const [key, value] of values) {
      if (value === null) merged.delete(key);
      else merged.set(key, value);
    }
    const order = standing(ORDER);
    const made = deskOf(merged, Array.isArray(order) ? order : [], now);
    const done = students.save(made);
    if (!done.ok) throw new Error(done.problems[0]!.message);
  },
});

/** Fields of a desk that are no values of their own. */
const APART = new Set(['id', 'assignments', 'comments']);

function partsOf(own: Student): ReadonlyMap<string, Json> {
  const { assignments, comments } = own;
  const entries: readonly (readonly [string, unknown])[] = [
    ...Object.entries(own)
      .filter(([name, value]) => !APART.has(name) && value !== undefined)
      .map(([name, value]) => [`${FIELD}${name}`, value] as const),
    ...assignments.map((one) => [`${TASK}${one.id}`, one] as const),
    ...comments.map((one) => [`${COMMENT}${one.id}`, one] as const),
    ...(assignments.length > 0 ? [[ORDER, assignments.map(({ id }) => id)] as const] : []),
  ];
  return new Map(entries as [string, Json][]);
}

function deskOf(values: ReadonlyMap<string, Json>, order: readonly Json[], now: () => Date) {
  const named = (prefix: string) =>
    [...values].filter(([key]) => key.startsWith(prefix) && key !== ORDER);
  const places = new Map(order.map((id, i) => [id, i]));
  const placeOf = ({ id }: { id?: unknown }): number => places.get(id as string) ?? Infinity;
  type Dated = { readonly id: string; readonly given?: string; readonly at?: string };
  const inTime = (a: Dated, b: Dated): number =>
    textOrder(a.given ?? a.at ?? '', b.given ?? b.at ?? '') || textOrder(a.id, b.id);
  const all = (prefix: string): Dated[] => named(prefix).map(([, value]) => value as never);
  return {
    name: '',
    since: isoTimeOf(now()),
    ...Object.fromEntries(named(FIELD).map(([key, value]) => [key.slice(FIELD.length), value])),
    id: OWN_DESK,
    assignments: all(TASK).sort((a, b) => {
      const [one, other] = [placeOf(a), placeOf(b)];
      return one === other ? inTime(a, b) : one - other;
    }),
    comments: all(COMMENT).sort(inTime),
  };
}
