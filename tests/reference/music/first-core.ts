// Writes first.txt and first-chords.txt: `node tests/reference/music/first-core.ts PATH`, where PATH is a checkout of
// the first commit that is compared, 2b0c7d8, with its packages installed. Charts that it refuses are left out.
import fs from 'node:fs';
import path from 'node:path';
import { pathToFileURL } from 'node:url';
import { ChordType } from 'tonal';
import { ok, unwrap } from '../../../app/core/base/result.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Lap, LapEvent } from '../../../app/core/timeline/model.ts';
import { type Clicks, type Core, placeOf } from './core.ts';
import {
  FIRST,
  FIRST_CHORDS,
  type AskedChart,
  drawnChart,
  firstDemos,
  firstLine,
  suffixesStillRead,
} from './first.ts';
import { firstDigests } from './first-digests.ts';

const CHARTS = 200;
/** Spellings of the trade beside those of the chord library. */
const SPELLINGS =
  'major minor min7 mi7 -7 Δ Δ7 △ ø ø7 h7 ° °7 o o7 dim dim7 aug + +7 aug7 sus sus2 sus4 7sus4 7sus sus24 9sus4 13sus add2 add4 add11 m(add9) (add9) 7(b9) 7(#9) 7(b5) 7b5b9 7#5#9 7(b9,b13) 7alt alt m7-5 m7(b5) 7+ 7-9 maj9 maj13 maj7#11 M7 Maj7 ma7 m(maj7) mM7 m/maj7 m-maj7 min(maj7) 6/9 69 m6/9 m69 m11 m13 11 13 13b9 13#11 9#11 9b5 9#5 no3 5 (no3) 7no5 omit3 maj7no3 sus2add6 7sus4b9 dim9 maj11 quartal (b5) #11 b6 7/9 dom7 hdim7 half-dim7 m7add11 7add13 b9 m#5 mb6 mb6b9 6sus4 maj7sus2 maj7sus4 add9no3 add#11'.split(
    ' ',
  );

type Module = Readonly<Record<string, (...args: never[]) => unknown>>;
const root = process.argv[2];
if (root === undefined) throw new Error('Say where a checkout of 2b0c7d8 lies.');
const load = (file: string) =>
  import(pathToFileURL(path.resolve(root, 'app/core', file)).href) as Promise<Module>;

/** What was called otherwise: a chord was its symbol, a lead a phrase, and its unit and its tones a line. */
interface FirstEvent extends LapEvent {
  readonly symbol?: string;
}
interface FirstChart extends Chart {
  readonly sections: (Chart['sections'][number] & {
    readonly phrases?: readonly { readonly name: string; readonly parts: { name: string }[] }[];
  })[];
}

/** The pulse by its strongest voice, over it a change or else a cue: the rule for clicks that came right after. */
function clicksOf(lap: Lap): Clicks {
  const audible = lap.events.filter(
    ({ audible, seconds, part }) => audible && part !== 'rest' && seconds < lap.unitEnd,
  );
  return [...Map.groupBy(audible, placeOf)].map(([at, events]) => {
    const voices = events.map((event) => voiceOf(event));
    const strongest = (order: readonly string[]) =>
      order.filter((voice) => voices.includes(voice)).slice(0, 1);
    const pulse = strongest(['count', 'bar', 'beat', 'subdivision']);
    return [at, events[0]!.seconds, ...pulse, ...strongest(['change', 'cue'])];
  });
}

function voiceOf({ voice, kind, part }: LapEvent): string {
  const heard = voice ?? kind;
  return part === 'count-in' && (heard === 'bar' || heard === 'beat') ? 'count' : heard;
}

const leadsOf = (chart: FirstChart) =>
  chart.sections.flatMap(({ name: section, phrases = [] }) =>
    phrases.flatMap(({ name: line, parts }) =>
      parts.map(({ name: part }) => ({ kind: 'line', section, line, part, reach: 'alone' })),
    ),
  );

const modules = await Promise.all(
  [
    ...['chart/notation/parse.ts', 'chart/notation/print.ts', 'chart/units.ts', 'chart/strum.ts'],
    ...['timeline/lap.ts', 'sound/line/in-lap.ts'],
    ...['exchange/practice-track.ts', 'exchange/smf/write.ts', 'exchange/wav/write.ts'],
  ].map(load),
);
const first = Object.assign({}, ...modules) as Core & Module;
/** With the tones of leads by today's name beside that of then, by which its own writers look for them. */
function practiceTrack(...[unit, { leads, ...options }]: Parameters<Core['practiceTrack']>) {
  const track = unwrap(first.practiceTrack(unit, { ...options, lines: leads } as typeof options));
  const laps = track.laps.map((lap) => ({
    ...lap,
    leads: (lap as unknown as { lines: typeof lap.leads }).lines,
  }));
  return ok({ ...track, laps });
}

const { readChord } = (await load('harmony/read.ts')) as unknown as Pick<Core, 'readChord'>;
const core = {
  ...first,
  ...{ clicksOf, leadsOf, practiceTrack },
  symbolOf: ({ symbol }: FirstEvent) => symbol,
  opening: (lap: Lap) => lap.opening as unknown as string | undefined,
} as unknown as Core;

function chordLines(): string[] {
  const library = ChordType.all().flatMap(({ aliases }) => aliases);
  return [...new Set([...library, ...SPELLINGS])].flatMap((suffix) => {
    const chord = readChord(`C${suffix}`);
    if (/[\s:|,]/.test(suffix) || !chord.ok || chord.value.kind !== 'chord') return [];
    return [`${suffix}: ${chord.value.tones.map(({ label }) => label).join(' ')}`];
  });
}

function lineOf({ name, text, seed }: AskedChart): string[] {
  const chart = core.parseChart(text);
  if (!chart.ok) return [];
  return [firstLine(name, firstDigests(core, { id: name, ...chart.value }, seed))];
}

const chords = chordLines();
fs.writeFileSync(FIRST_CHORDS, `${chords.join('\n')}\n`);
const suffixes = suffixesStillRead();
const drawn: string[] = [];
for (let seed = 1; drawn.length < CHARTS; seed++) drawn.push(...lineOf(drawnChart(seed, suffixes)));
fs.writeFileSync(FIRST, `${[...firstDemos().flatMap(lineOf), ...drawn].join('\n')}\n`);
