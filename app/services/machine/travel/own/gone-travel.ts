// The marks of people who were removed for good, as they go between the machines of one player: nobody takes one back.
import type { People } from '../../people/people.ts';
import { type Traveller, valuesOf } from './traveller.ts';

export const GONE = 'gone:';

/** The mark under a key; undefined for any other. */
export const markIn = (key: string): string | undefined =>
  key.startsWith(GONE) ? key.slice(GONE.length) : undefined;

/** The marks of people who were removed, so that no other machine brings them back. */
export const goneTravel = (people: Pick<People, 'marks' | 'forget'>): Traveller => ({
  prefixes: [GONE],
  values: () => valuesOf([...people.marks].map((mark) => [`${GONE}${mark}`, true] as const)),
  take: (values) => {
    const done = people.forget([...values.keys()].flatMap((key) => markIn(key) ?? []));
    if (!done.ok) throw new Error(done.problems[0]!.message);
    return undefined;
  },
});
