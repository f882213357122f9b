// How a song is spread over lessons: in which week each kind of part is due, and at which share of its tempo.
import type { UnitKind } from '../model/unit.ts';

/** Kinds of units in the order in which a song is learnt (common practice, no source). */
export const LEARNT = [
  'hardest',
  'section',
  'lead',
  'join',
  'form',
] as const satisfies readonly UnitKind[];
export type Learnt = (typeof LEARNT)[number];

export interface Template {
  readonly id: string;
  readonly name: string;
  /** 1 is the next lesson; 1–{@link MOST_WEEKS}. */
  readonly weeks: Readonly<Record<Learnt, number>>;
  /** Per cent of the unit's own tempo, {@link LEAST_PERCENT}–{@link MOST_PERCENT}. */
  readonly percent: Readonly<Record<Learnt, number>>;
}

export const MOST_WEEKS = 26;
export const LEAST_PERCENT = 40;
export const MOST_PERCENT = 120;
/** Templates of a teacher's own. */
export const MOST_TEMPLATES = 50;

/** Ours to begin with (common practice, no source); every week and share can be changed. */
export const TEMPLATES: readonly [Template, ...Template[]] = [
  {
    id: 'four-weeks',
    name: 'A new song in four weeks',
    weeks: { hardest: 1, section: 2, lead: 3, join: 3, form: 4 },
    percent: { hardest: 80, section: 85, lead: 90, join: 90, form: 100 },
  },
  {
    id: 'two-weeks',
    name: 'An easier song in two weeks',
    weeks: { hardest: 1, section: 1, lead: 2, join: 2, form: 2 },
    percent: { hardest: 90, section: 90, lead: 100, join: 100, form: 100 },
  },
  {
    id: 'next-lesson',
    name: 'All of it for the next lesson',
    weeks: { hardest: 1, section: 1, lead: 1, join: 1, form: 1 },
    percent: { hardest: 100, section: 100, lead: 100, join: 100, form: 100 },
  },
];

/** With a template of one's own added, or in place of the one with its id; the newest stands last. */
export const withTemplate = (own: readonly Template[], kept: Template): readonly Template[] =>
  own.some(({ id }) => id === kept.id)
    ? own.map((one) => (one.id === kept.id ? kept : one))
    : [...own, kept];

/** Why a template cannot bear this name; undefined where nothing speaks against it. */
export function checkName(name: string, id: string, all: readonly Template[]): string | undefined {
  const wanted = plain(name);
  if (wanted === '') return 'Give it a name.';
  return all.some((one) => one.id !== id && plain(one.name) === wanted)
    ? 'Another one has this name.'
    : undefined;
}

const plain = (name: string): string => name.trim().toLocaleLowerCase('en');
