// What a section is in its song: the chorus, an edge (intro, outro, interlude), or neither; by its name, else by the form.
import type { ChartBody, Section } from '../../model/chart.ts';
import type { SectionRole } from '../../model/unit.ts';

/**
 * The names that songs give them in languages of Europe (common practice, no source). At the beginning of a word;
 * "pre-chorus" is none.
 */
const NAMES: readonly (readonly [SectionRole, RegExp])[] = [
  [
    'chorus',
    /(?<!\p{L}|pre[-\s]?)(?:chorus|refr|hook|kehr|estribillo|coro|ritornello|omkv|omkr|kertos|припев)/iu,
  ],
  [
    'edge',
    /(?<!\p{L})(?:intro|outro|coda|interlud|break|vorspiel|nachspiel|zwischenspiel|entrada|préambule|final|ending)/iu,
  ],
];

const byName = (name: string): SectionRole | undefined =>
  NAMES.find(([, pattern]) => pattern.test(name))?.[0];

/** By the name of each section that has one. */
export function sectionRoles(
  chart: Pick<ChartBody, 'sections' | 'form'>,
): ReadonlyMap<string, SectionRole> {
  const named = chart.sections.flatMap(({ name }) => {
    const role = byName(name);
    return role ? [[name, role] as const] : [];
  });
  const played = chart.form.flatMap(({ section, times }) => Array<string>(times).fill(section));
  const chorus = named.some(([, role]) => role === 'chorus')
    ? undefined
    : chorusByForm(chart.sections, played);
  const edges = [edge(played), edge(played.toReversed())];
  const found = [
    ...edges.flatMap((name) => (name === undefined ? [] : [[name, 'edge'] as const])),
    ...(chorus === undefined ? [] : [[chorus, 'chorus'] as const]),
    ...named,
  ];
  return new Map(found);
}

/** What is played once, before (or turned round: after) anything comes back. */
function edge([first, ...rest]: readonly string[]): string | undefined {
  return first !== undefined && rest.length >= 2 && !rest.includes(first) ? first : undefined;
}

/**
 * Without a name that says it, a chorus is what comes back after something else that comes back, always with the
 * same words: of several the one that comes most often, and later in the song.
 */
function chorusByForm(sections: readonly Section[], played: readonly string[]): string | undefined {
  const count = (name: string) => played.filter((other) => other === name).length;
  const answers = (name: string) =>
    played.filter(
      (other, i) => other === name && i > 0 && played[i - 1] !== name && count(played[i - 1]!) > 1,
    ).length;
  return sections
    .filter(
      ({ name, bars }) =>
        answers(name) >= 2 && bars.every(({ words }) => (words?.length ?? 0) <= 1),
    )
    .map(({ name }) => ({ name, times: count(name), at: played.indexOf(name) }))
    .toSorted((a, b) => b.times - a.times || b.at - a.at)[0]?.name;
}
