// Where units stand: sections and places of the form with the chord that sounds before them.
import { type Problem, type Result, fail, ok } from '../../base/result.ts';
import { type FormPlace, findSection, playSection, unrollForm } from '../../chart/form/form.ts';
import type { ChartBody } from '../../model/chart.ts';
import type { PlayedBar } from '../../model/unit.ts';
import {
  type BarInSection,
  type HeldChord,
  barsOfPlace,
  playBars,
  soundingAfter,
} from './played-bars.ts';

/** The form, then the sections that the form does not play, so that no chord is out of reach. */
export function wholeChart(chart: ChartBody): Result<readonly PlayedBar[]> {
  const places = unrollForm(chart);
  if (!places.ok) return places;
  const unused = chart.sections.filter(
    (s) => !chart.form.some((entry) => entry.section === s.name),
  );
  const bars: BarInSection[] = places.value.flatMap(barsOfPlace);
  for (const section of unused) {
    const played = playSection(chart, section);
    if (!played.ok) return played;
    bars.push(...played.value.map((written) => ({ written, section, time: 1 })));
  }
  return ok(playBars(chart, bars));
}

/** A section's bars once through, and the chord that sounds before it where the form first plays it. */
export function sectionInContext(
  chart: ChartBody,
  name: string,
): Result<{ bars: readonly BarInSection[]; before?: HeldChord }> {
  const section = findSection(chart, name);
  if (!section) return fail(sectionGone(name));
  const played = playSection(chart, section);
  if (!played.ok) return played;
  const bars = played.value.map((written) => ({ written, section, time: 1 }));
  const places = unrollForm(chart);
  const at = places.ok ? places.value.findIndex((place) => place.section === section) : -1;
  const before = places.ok && at > 0 ? soundingBefore(chart, places.value, at, 0) : undefined;
  return ok({ bars, ...(before && { before }) });
}

/** The chord that goes on into this bar. @param entry of the unrolled form, @param bar of that entry, both from 0 */
export function soundingBefore(
  chart: ChartBody,
  places: readonly FormPlace[],
  entry: number,
  bar: number,
): HeldChord | undefined {
  const earlier = places.slice(0, entry).flatMap((place) => place.bars);
  return soundingAfter(chart, [...earlier, ...places[entry]!.bars.slice(0, bar)]);
}

/** The form written out; fails where it plays nothing. */
export function formPlaces(chart: ChartBody): Result<readonly FormPlace[]> {
  const places = unrollForm(chart);
  if (!places.ok || places.value.length > 0) return places;
  return fail({
    code: 'form-empty',
    message: 'the form plays no section',
    cure: 'List the sections in the order in which they are played.',
  });
}

/** "Verse", or "Verse (2nd time)" where the section comes round more than once. */
export function placeName(place: FormPlace, places: readonly FormPlace[]): string {
  const often = places.filter((other) => other.section === place.section).length > 1;
  return often ? `${place.section.name} (${ordinal(place.time)} time)` : place.section.name;
}

/** 1 → "1st", 12 → "12th", 23 → "23rd". */
export function ordinal(n: number): string {
  const teen = Math.floor(n / 10) % 10 === 1;
  return `${n}${(teen ? undefined : ['th', 'st', 'nd', 'rd'][n % 10]) ?? 'th'}`;
}

const sectionGone = (name: string): Problem => ({
  code: 'unit-section-gone',
  message: `‘${name}’ is not in the chart`,
  cure: 'Choose another section, or write it again under that name.',
});

/** Every place of the unrolled form by its number; none where the form cannot be played. */
export function entriesOf(chart: ChartBody): readonly number[] {
  const places = unrollForm(chart);
  return places.ok ? places.value.map((place) => place.entry) : [];
}
