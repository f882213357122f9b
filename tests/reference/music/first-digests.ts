// A chart's music as a line of digests, in terms that have not changed since the first commit that is compared.
import { createHash } from 'node:crypto';
import { parseMidi } from 'midi-file';
import { unwrap } from '../../../app/core/base/result.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit, UnitRef } from '../../../app/core/model/unit.ts';
import type { ClickPattern, Lap, LapOptions } from '../../../app/core/timeline/model.ts';
import { FULL_LEVELS } from '../../support/levels.ts';
import { type Core, placeOf } from './core.ts';
import { Dice } from './dice.ts';

/** Of a file in 16 bits at this rate a moment that is one sample off shows at once. */
const RATE = 44_100;
/** Sound is made at a low rate: every sample is mixed by the same steps at any. */
const WAVE_RATE = 8_000;

const digest = (what: unknown): string =>
  createHash('sha256').update(JSON.stringify(what)).digest('hex').slice(0, 12);

/** What is compared, by name. */
export type FirstDigests = Readonly<Record<string, string>>;

export function firstDigests(core: Core, chart: Chart, seed: number): FirstDigests {
  const section: UnitRef = { kind: 'section', section: chart.sections[0]!.name };
  const refs = [{ kind: 'form' } as const, section, ...core.leadsOf(chart)];
  const played = refs.map((ref, i) => play(core, unwrap(core.resolveUnit(chart, ref)), seed + i));
  return {
    printed: digest(ungrouped(core.printChart(chart))),
    units: digest(played.map(({ unit }) => unit.fingerprint)),
    moments: digest(played.map(({ lap }) => momentsOf(core, lap))),
    clicks: digest(played.map(({ lap }) => core.clicksOf(lap))),
    strokes: digest(played.map(({ unit }) => strokesOf(core, unit))),
    strings: digest(played.map(({ track }) => track.laps.map(({ model }) => model.map(stringOf)))),
    leads: digest(
      played.map(({ track }) => track.laps.map(({ leads }) => leads.map((l) => l.tones))),
    ),
    MIDI: digest(played.map(({ track }) => midiOf(core, track, chart.title))),
    ...(played[2] && { WAVE: waveOf(core, played[2].track) }),
  };
}

/** Patterns are printed in groups of beats since; how the groups stand is none of the music. */
const ungrouped = (text: string): string =>
  text.replace(/(?<=(?:eighths|triplets|sixteenths) )[-DUrx> ]+/g, (cells) =>
    cells.replaceAll(' ', ''),
  );

const stringOf = (note: {
  seconds: number;
  until: number;
  midi: number;
  gain: number;
  muted: boolean;
}) => [...[frame(note.seconds), frame(note.until), note.midi, note.gain, note.muted]];

const frame = (seconds: number): number => Math.round(seconds * RATE);

/** A unit at a tempo and with options that the seed chooses, and fingers that no taste of shapes moves. */
function play(core: Core, unit: Unit, seed: number) {
  const dice = new Dice(seed * 31 + 7);
  const options = drawOptions(dice);
  const bpm = dice.one([unit.tempo.bpm, 97, 61.5]);
  const lap = core.buildLap(unit, bpm, options);
  const chords = [core.opening(lap), ...lap.changes.map(core.symbolOf)];
  const voicings = chords.filter((symbol) => symbol !== undefined).map(voicingOf);
  const track = unwrap(
    core.practiceTrack(unit, {
      ...{ tempos: [bpm], passes: 1, click: 'none', lap: options, voicings },
      leads: core.partsIn(unit),
    }),
  );
  return { unit, lap, track };
}

const PATTERNS: readonly ClickPattern[] = [
  { kind: 'every-beat' },
  { kind: 'every-beat' },
  { kind: 'two-and-four' },
  { kind: 'off-beats' },
  { kind: 'bar-starts' },
  { kind: 'gaps', every: 3 },
  { kind: 'growing-gaps', sounding: 2, longest: 3 },
  { kind: 'displaced', by: { n: 1, d: 4 } },
];

const drawOptions = (dice: Dice): LapOptions => ({
  countIn: dice.one(['none', 'one', 'two', 'half-then-full']),
  restBars: dice.whole(0, 2),
  click: dice.one(PATTERNS),
  subdivision: dice.one([1, 1, 2, 3, 4]),
  cueBeats: dice.one([0, 1, 2, 4]),
  markChanges: dice.falls(0.5),
});

/** Any pitches will do, as long as a symbol always has the same. */
function voicingOf(symbol: string): readonly (number | null)[] {
  if (symbol === 'N.C.') return [];
  const hash = createHash('sha256').update(symbol).digest();
  const strings = [40, 45, 50, 55, 59, 64];
  return strings.map((open, i) => (hash[i]! % 7 === 0 ? null : open + (hash[i]! % 5)));
}

/** Count-in and unit; what ticks in rest bars is younger. */
const momentsOf = (core: Core, lap: Lap) => [
  ...lap.events
    .filter(({ part }) => part !== 'rest')
    .map((event) => [
      ...[event.kind, event.part, placeOf(event), event.seconds, frame(event.seconds)],
      ...[event.bar, event.beat, event.audible, core.symbolOf(event)],
    ]),
  ...lap.bars.map((bar) => [
    bar.part,
    bar.unitBar,
    placeOf(bar),
    bar.seconds,
    bar.beats,
    bar.quarter,
  ]),
  [core.opening(lap), lap.unitStart, lap.unitEnd, lap.end],
];

const strokesOf = (core: Core, unit: Unit) =>
  unit.bars.map((bar) =>
    core.strokesInBar(bar).map(({ at, swungAt, cell }) => {
      const stroke = cell.kind === 'stroke' ? [cell.direction, cell.accent, cell.muted] : [];
      return [`${at.n}/${at.d}`, `${swungAt.n}/${swungAt.d}`, cell.kind, ...stroke];
    }),
  );

type Track = ReturnType<typeof play>['track'];

/** Every event as midi-file 1.2.4 reads it; the track of clicks is empty here. */
const midiOf = (core: Core, track: Track, title: string) =>
  parseMidi(core.writeSmf(track, title)).tracks;

/** A lead, to the byte; how the model guitar's strings are plucked is younger. */
function waveOf(core: Core, { laps, ...track }: Track): string {
  const alone = { ...track, laps: laps.map((lap) => ({ ...lap, model: [] })) };
  const hash = createHash('sha256');
  for (const { bytes } of core.writeWav(alone, FULL_LEVELS, WAVE_RATE)) hash.update(bytes);
  return hash.digest('hex').slice(0, 12);
}
