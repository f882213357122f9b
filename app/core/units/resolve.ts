// Units: everything in a chart that can be practised, resolved to the plain bars that are played.
import { type Problem, type Result, fail, ok } from '../base/result.ts';
import { fingerprint } from './fingerprint.ts';
import { type FormPlace, findSection, playSection, unrollForm } from '../chart/form/form.ts';
import type { Chart, ChartBody, Section } from '../model/chart.ts';
import { changesOf, isPair, pairBars } from './pair.ts';
import {
  type BarInSection,
  type HeldChord,
  barsOfPlace,
  playBars,
  soundingAfter,
} from './played-bars.ts';
import { tightestBars } from './tightest-bars.ts';
import { partsOf } from '../chart/form/leads.ts';
import type { PlayedBar, Unit, UnitRef } from '../model/unit.ts';
import { unitKey } from './keys.ts';

export { parseUnitKey, unitKey } from './keys.ts';

/** Bars on each side of a listed seam (ours, no source): enough to arrive and to settle. */
export const SEAM_BARS = 2;

/** Fails when the chart has no such place; the problem says what is missing and what to do. */
export function resolveUnit(chart: Chart | ChartBody, ref: UnitRef): Result<Unit> {
  switch (ref.kind) {
    case 'section':
      return resolveSection(chart, ref);
    case 'bars':
      return resolveBars(chart, ref);
    case 'form':
      return resolveForm(chart, ref);
    case 'seam':
      return resolveSeam(chart, ref);
    case 'pair':
      return resolvePair(chart, ref);
    case 'tightest':
      return resolveTightest(chart, ref);
    case 'line':
      return resolveLine(chart, ref);
    case 'stretch':
      return resolveStretch(chart, ref);
  }
}

type RefOf<K extends UnitRef['kind']> = Extract<UnitRef, { kind: K }>;

function resolveSection(chart: ChartBody, ref: RefOf<'section'>): Result<Unit> {
  const found = sectionInContext(chart, ref.section);
  if (!found.ok) return found;
  const { bars, before } = found.value;
  return ok(unitOf(chart, ref, ref.section, playBars(chart, bars, before)));
}

/**
 * The shortest stretch of the section as played that starts with bar `from` and ends with bar `to`:
 * a second ending is reached from the bars before the first one, as on paper.
 */
function resolveBars(chart: ChartBody, ref: RefOf<'bars'>): Result<Unit> {
  const found = sectionInContext(chart, ref.section);
  if (!found.ok) return found;
  const { bars, before } = found.value;
  const range = shortestRange(
    bars.map((bar) => bar.written.bar),
    ref.from,
    ref.to,
  );
  if (!range) return fail(barsGone(ref, findSection(chart, ref.section)!));
  const [start, end] = range;
  const sounding = soundingAfter(
    bars.slice(0, start).map((bar) => bar.written),
    before,
  );
  const played = playBars(chart, bars.slice(start, end + 1), sounding);
  const name =
    ref.from === ref.to
      ? `${ref.section}, bar ${ref.from}`
      : `${ref.section}, bars ${ref.from}–${ref.to}`;
  return ok(unitOf(chart, ref, name, played));
}

function shortestRange(
  played: readonly number[],
  from: number,
  to: number,
): readonly [number, number] | undefined {
  let best: readonly [number, number] | undefined;
  played.forEach((bar, start) => {
    const end = bar === from ? played.indexOf(to, start) : -1;
    if (end >= 0 && (!best || end - start < best[1] - best[0])) best = [start, end];
  });
  return best;
}

function resolveForm(chart: ChartBody, ref: RefOf<'form'>): Result<Unit> {
  const places = formPlaces(chart);
  if (!places.ok) return places;
  const bars = playBars(chart, places.value.flatMap(barsOfPlace));
  return ok(unitOf(chart, ref, 'The whole form', bars));
}

function resolveSeam(chart: ChartBody, ref: RefOf<'seam'>): Result<Unit> {
  const places = formPlaces(chart);
  if (!places.ok) return places;
  const [left, right] = [places.value[ref.entry], places.value[ref.entry + 1]];
  if (!left || !right) return fail(seamGone(ref, places.value.length));
  if (ref.before < 1 || ref.after < 1) return fail(SEAM_EMPTY);
  for (const [place, wanted] of [
    [left, ref.before],
    [right, ref.after],
  ] as const) {
    if (wanted > place.bars.length) return fail(seamTooLong(place, wanted));
  }
  const start = left.bars.length - ref.before;
  const bars = [...barsOfPlace(left).slice(start), ...barsOfPlace(right).slice(0, ref.after)];
  const before = soundingBefore(places.value, ref.entry, start);
  const name = `${placeName(left, places.value)} into ${placeName(right, places.value)}`;
  return ok(unitOf(chart, ref, name, playBars(chart, bars, before)));
}

function resolvePair(chart: ChartBody, ref: RefOf<'pair'>): Result<Unit> {
  const bars = wholeChart(chart);
  if (!bars.ok) return bars;
  const change = changesOf(bars.value).find((c) => isPair(c, ref.from, ref.to));
  if (!change) {
    return fail({
      code: 'unit-pair-gone',
      message: `no ${ref.from} is followed by ${ref.to} in this chart`,
      cure: 'Choose two chords that meet in it.',
    });
  }
  return ok(unitOf(chart, ref, `${ref.from} to ${ref.to}`, pairBars(bars.value, change)));
}

function resolveTightest(chart: ChartBody, ref: RefOf<'tightest'>): Result<Unit> {
  const section = resolveSection(chart, { kind: 'section', section: ref.section });
  if (!section.ok) return section;
  const bars = tightestBars(section.value, chart.shapes);
  if (bars.length === 0) {
    return fail({
      code: 'unit-tightest-none',
      message: `‘${ref.section}’ has no change from one chord to another`,
      cure: 'Choose a section with two chords or more.',
    });
  }
  return ok(unitOf(chart, ref, `Tightest changes of ${ref.section}`, bars));
}

function resolveStretch(chart: ChartBody, ref: RefOf<'stretch'>): Result<Unit> {
  const places = formPlaces(chart);
  if (!places.ok) return places;
  const [first, last] = [places.value[ref.fromEntry], places.value[ref.toEntry]];
  if (!first || !last || ref.fromEntry > ref.toEntry) {
    return fail({
      code: 'unit-stretch-gone',
      message: `the form has ${places.value.length} entries; this stretch runs from entry ${ref.fromEntry + 1} to ${ref.toEntry + 1}`,
      cure: 'Choose its first and last section in the form again.',
    });
  }
  const bars = places.value.slice(ref.fromEntry, ref.toEntry + 1).flatMap(barsOfPlace);
  const before = soundingBefore(places.value, ref.fromEntry, 0);
  const names = [first, last].map((place) => placeName(place, places.value));
  const name = first === last ? names[0]! : `From ${names[0]} to ${names[1]}`;
  return ok(unitOf(chart, ref, name, playBars(chart, bars, before)));
}

/** The bars of a lead line, with as much around them as asked; its chords go on underneath. */
function resolveLine(chart: ChartBody, ref: RefOf<'line'>): Result<Unit> {
  const section = findSection(chart, ref.section);
  const phrase = section?.phrases?.find((p) => p.name === ref.line);
  const part =
    section && phrase && partsOf(chart, section, phrase).find((p) => p.name === ref.part);
  if (!section || !phrase || !part) return fail(lineGone(ref));
  const around = resolveUnit(chart, barsAround(ref, section, phrase.bar, part.bars.length));
  if (!around.ok) return around;
  const line = { phrase: ref.line, part: ref.part };
  return ok({
    ...around.value,
    key: unitKey(ref),
    ref,
    name: `${ref.line}, ${ref.part} (${around.value.name})`,
    line,
    fingerprint: fingerprint(around.value.bars, line),
  });
}

function barsAround(ref: RefOf<'line'>, section: Section, first: number, count: number): UnitRef {
  if (ref.reach === 'section') return { kind: 'section', section: section.name };
  const more = ref.reach === 'neighbours' ? 1 : 0;
  const from = Math.max(1, first - more);
  const to = Math.min(section.bars.length, first + count - 1 + more);
  return { kind: 'bars', section: section.name, from, to };
}

/**
 * Every unit a chart offers by itself, or those of one kind; equal seams are listed once. Units that
 * don't resolve are left out. Tightest changes cost a search for shapes, so ask for no more than needed.
 */
export function listUnits(chart: Chart | ChartBody, kind?: UnitRef['kind']): readonly Unit[] {
  const refs = REF_LISTS.filter(([of]) => kind === undefined || of === kind).flatMap(([, list]) =>
    list(chart),
  );
  const units = refs.map((ref) => resolveUnit(chart, ref)).flatMap((r) => (r.ok ? [r.value] : []));
  const seen = new Set<string>();
  return units.filter((unit) => {
    if (unit.ref.kind !== 'seam') return true;
    const isNew = !seen.has(unit.fingerprint);
    seen.add(unit.fingerprint);
    return isNew;
  });
}

type RefList = (chart: ChartBody) => readonly UnitRef[];

/** The kinds that list themselves, in the order in which they are offered. */
const REF_LISTS: readonly (readonly [UnitRef['kind'], RefList])[] = [
  ['section', ({ sections }) => sections.map(({ name }) => ({ kind: 'section', section: name }))],
  ['line', lineRefs],
  ['seam', seamRefs],
  ['tightest', ({ sections }) => sections.map(({ name }) => ({ kind: 'tightest', section: name }))],
  ['pair', pairRefs],
  ['form', ({ form }) => (form.length > 0 ? [{ kind: 'form' }] : [])],
];

function lineRefs(chart: ChartBody): UnitRef[] {
  return chart.sections.flatMap((section) =>
    (section.phrases ?? []).flatMap((phrase) =>
      partsOf(chart, section, phrase).map((part): UnitRef => ({
        kind: 'line',
        section: section.name,
        line: phrase.name,
        part: part.name,
        reach: 'alone',
      })),
    ),
  );
}

function seamRefs(chart: ChartBody): UnitRef[] {
  const places = unrollForm(chart);
  if (!places.ok) return [];
  return places.value.slice(1).map((right, entry) => ({
    kind: 'seam',
    entry,
    before: Math.min(SEAM_BARS, places.value[entry]!.bars.length),
    after: Math.min(SEAM_BARS, right.bars.length),
  }));
}

/** Every change of the chart once, in the order in which they are first met; silence is no chord. */
function pairRefs(chart: ChartBody): UnitRef[] {
  const bars = wholeChart(chart);
  if (!bars.ok) return [];
  const pairs = new Map<string, UnitRef>();
  for (const { from, to } of changesOf(bars.value)) {
    if (from.kind !== 'chord' || to.kind !== 'chord' || from.symbol === to.symbol) continue;
    const ref: UnitRef = { kind: 'pair', from: from.symbol, to: to.symbol };
    if (!pairs.has(unitKey(ref))) pairs.set(unitKey(ref), ref);
  }
  return [...pairs.values()];
}

/** The form, then the sections that the form does not play, so that no chord is out of reach. */
function wholeChart(chart: ChartBody): Result<readonly PlayedBar[]> {
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
function sectionInContext(
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
  const before = places.ok && at > 0 ? soundingBefore(places.value, at, 0) : undefined;
  return ok({ bars, ...(before && { before }) });
}

function soundingBefore(
  places: readonly FormPlace[],
  entry: number,
  bar: number,
): HeldChord | undefined {
  const earlier = places.slice(0, entry).flatMap((place) => place.bars);
  return soundingAfter([...earlier, ...places[entry]!.bars.slice(0, bar)]);
}

function formPlaces(chart: ChartBody): Result<readonly FormPlace[]> {
  const places = unrollForm(chart);
  if (!places.ok || places.value.length > 0) return places;
  return fail({
    code: 'form-empty',
    message: 'the form plays no section',
    cure: 'List the sections in the order in which they are played.',
  });
}

/** "Verse", or "Verse (time 2)" where the section comes round more than once. */
function placeName(place: FormPlace, places: readonly FormPlace[]): string {
  const often = places.filter((other) => other.section === place.section).length > 1;
  return often ? `${place.section.name} (time ${place.time})` : place.section.name;
}

function unitOf(chart: ChartBody, ref: UnitRef, name: string, bars: readonly PlayedBar[]): Unit {
  return {
    key: unitKey(ref),
    ref,
    name,
    bars,
    tempo: bars[0]!.tempo,
    tuning: chart.tuning,
    capo: chart.capo,
    fingerprint: fingerprint(bars),
  };
}

const sectionGone = (name: string): Problem => ({
  code: 'unit-section-gone',
  message: `‘${name}’ is not in the chart`,
  cure: 'Choose another section, or write it again under that name.',
});

const barsGone = (ref: RefOf<'bars'>, section: Section): Problem => ({
  code: 'unit-bars-gone',
  message: `‘${ref.section}’ has ${section.bars.length} bars, and bar ${ref.to} never follows bar ${ref.from}`,
  cure: `Choose bars from 1 to ${section.bars.length}, the first before the last.`,
});

const seamGone = (ref: RefOf<'seam'>, entries: number): Problem => ({
  code: 'unit-seam-gone',
  message: `the form has ${entries} entries, so nothing follows entry ${ref.entry + 1}`,
  cure: 'Choose the seam from the form again.',
});

const lineGone = (ref: RefOf<'line'>): Problem => ({
  code: 'unit-line-gone',
  message: `‘${ref.section}’ has no playable lead line ‘${ref.line}’ with a part ‘${ref.part}’`,
  cure: 'Choose the line from the chart again, or write it again under that name.',
});

const seamTooLong = (place: FormPlace, wanted: number): Problem => ({
  code: 'unit-seam-long',
  message: `‘${place.section.name}’ has ${place.bars.length} bars; the seam asks for ${wanted} of them`,
  cure: `Ask for at most ${place.bars.length}.`,
});

const SEAM_EMPTY: Problem = {
  code: 'unit-seam-empty',
  message: 'a seam needs at least one bar on each side',
  cure: 'Take one bar or more from both sections.',
};
