// The drums of a lap: a groove for every bar, a fill into every new section, silence where the chart stops.
import { type Rational, compare, equals } from '../base/rational.ts';
import type { Gain, Seconds } from '../base/units.ts';
import type { BandLevel, DrumsWord } from '../model/band.ts';
import { type BandBar, type BandBeat, evenMoment, partOf, spanAt, swungMoment } from './bars.ts';
import { chance, pick } from './dice.ts';
import { gainOf, levelOfBar } from './dynamics.ts';
import { type BeatRole, rolesOf } from './groove.ts';
import type { DrumHit, DrumVoice } from './model.ts';

/** A stroke at a place in its bar's meter. */
interface Stroke {
  readonly at: Rational;
  readonly voice: DrumVoice;
  readonly gain: Gain;
  /** Written out evenly: it does not swing. */
  readonly even?: true;
}

/** Hi-hat strokes closer than this blur: the pattern thins out (ours, no source). */
const CLOSEST: Seconds = 0.1;

/** Every stroke by time. `seed` chooses fills and the kicks between beats, nothing else. */
export function drumHits(bars: readonly BandBar[], seed: number): readonly DrumHit[] {
  return bars
    .flatMap((bar) => {
      const word = bar.words.drums ?? 'kit';
      const silent = word === 'off' || bar.words.level === 'off';
      if (silent || bar.played.pickup) return [];
      const level = levelOfBar(bar, bars);
      return strokesOf(bar, word, level, seed)
        .filter(({ at }) => spanAt(bar, at).chord !== null)
        .map(({ at, voice, gain, even }): DrumHit => {
          const moment = even ? evenMoment(bar, at) : swungMoment(bar, at);
          return { ...moment, voice, gain: gain * gainOf(level) };
        });
    })
    .toSorted((a, b) => a.seconds - b.seconds);
}

function strokesOf(
  bar: BandBar,
  word: DrumsWord,
  level: BandLevel,
  seed: number,
): readonly Stroke[] {
  const groove = [
    ...backbone(bar, word),
    ...between(bar, word, seed),
    ...timekeeping(bar, word, level),
  ];
  const fill = bar.closes ? fillOf(bar, word, seed) : [];
  const from = fill[0]?.at;
  const kept = from ? groove.filter((s) => s.voice === 'kick' || compare(s.at, from) < 0) : groove;
  return [...accents(bar, word), ...kept, ...fill];
}

const GAINS: Readonly<Record<Exclude<BeatRole, 'none'>, Gain>> = {
  kick: 0.95,
  snare: 0.9,
  lift: 0.55,
};

/** Kick and snare on the beats that the groove names. */
function backbone(bar: BandBar, word: DrumsWord): readonly Stroke[] {
  if (word === 'hats') return [];
  const roles = rolesOf(bar.played.meter, word);
  return bar.beats.flatMap((beat, i): Stroke[] => {
    const role = roles[i] ?? 'none';
    if (role === 'none') return [];
    return [{ at: beat.at, voice: voiceOf(role, word), gain: softened(GAINS[role], word) }];
  });
}

function voiceOf(role: Exclude<BeatRole, 'none'>, word: DrumsWord): DrumVoice {
  if (role === 'kick') return 'kick';
  if (word === 'brushes') return 'tap';
  return word === 'rim' || role === 'lift' ? 'rim' : 'snare';
}

const softened = (gain: Gain, word: DrumsWord): Gain => (word === 'brushes' ? 0.8 * gain : gain);

/** A section may have one kick more, half a beat before a beat that has one: the same in all of its bars. */
function between(bar: BandBar, word: DrumsWord, seed: number): readonly Stroke[] {
  if (word === 'hats' || word === 'brushes' || bar.played.meter.unit >= 8) return [];
  const roles = rolesOf(bar.played.meter, word);
  const candidates = bar.beats.filter((_, i) => roles[i + 1] === 'kick' && roles[i] !== 'kick');
  if (candidates.length === 0 || chance(seed, bar.run, 1) < 0.4) return [];
  const beat = pick(candidates, chance(seed, bar.run, 2));
  return [{ at: partOf(beat, 1, 2), voice: 'kick', gain: 0.7 }];
}

/** Hi-hat, ride or brush in equal parts of the beat, the beat itself a little louder. */
function timekeeping(bar: BandBar, word: DrumsWord, level: BandLevel): readonly Stroke[] {
  if (word === 'brushes') return bar.beats.map(({ at }) => ({ at, voice: 'brush', gain: 0.9 }));
  const voice = word === 'kit' && level === 'loud' ? 'ride' : 'hat';
  return bar.beats.flatMap((beat) => {
    const parts = partsOf(bar, beat);
    return Array.from({ length: parts }, (_, part): Stroke => {
      const gain = part === 0 ? 0.6 : 2 * part === parts ? 0.45 : 0.36;
      const even = parts === 3 ? { even: true as const } : {};
      return { at: partOf(beat, part, parts), voice, gain, ...even };
    });
  });
}

/** As the guitar divides the beat, as far as hands can follow at this tempo. */
function partsOf({ played }: BandBar, beat: BandBeat): number {
  const { meter, strum, feel } = played;
  const wanted =
    meter.unit >= 8
      ? Math.round((beat.length.n * meter.unit) / (beat.length.d * 4))
      : feel.kind === 'swing'
        ? feel.value / 4
        : (strum?.grid ?? 2);
  const possible = [wanted, ...(wanted === 4 ? [2] : []), 1];
  return possible.find((parts) => beat.lasts / parts >= CLOSEST) ?? 1;
}

/** A cymbal where a section opens, and where the band comes back after a stop. */
function accents(bar: BandBar, word: DrumsWord): readonly Stroke[] {
  if (word === 'hats' || word === 'brushes') return [];
  const returns = bar.spans.filter((span, i) => {
    const before = bar.spans[i - 1];
    return before && before.chord === null && span.chord !== null;
  });
  const places = returns.map(({ from }) => from);
  const first = bar.beats[0]?.at;
  if (first && bar.opens && bar.index > 0 && !places.some((at) => equals(at, first))) {
    places.push(first);
  }
  return places.map((at) => ({ at, voice: 'crash', gain: 0.6 }));
}

/** Which parts of a fill are struck, by how many there are in a beat (ours). */
const FILLS: Readonly<Record<number, readonly (readonly number[])[]>> = {
  1: [[1]],
  2: [[1, 1]],
  3: [
    [1, 1, 1],
    [1, 0, 1],
  ],
  4: [
    [1, 1, 1, 1],
    [1, 0, 1, 1],
    [1, 1, 0, 1],
  ],
};

/** The last beat of a short section, the last two of one of four bars or more; from the snare down the toms. */
function fillOf(bar: BandBar, word: DrumsWord, seed: number): readonly Stroke[] {
  if (word === 'hats') return [];
  const length = bar.runLength >= 4 && bar.beats.length >= 3 ? 2 : 1;
  const beats = bar.beats.slice(bar.beats.length > 1 ? -length : 0);
  const strokes = beats.flatMap((beat, i) => {
    const parts = fillParts(bar, beat);
    const shapes = FILLS[parts] ?? FILLS[1]!;
    const shape = pick(shapes, chance(seed, bar.index, i, 3));
    const even = parts === 3 ? { even: true as const } : {};
    return shape.flatMap((struck, part) =>
      struck ? [{ at: partOf(beat, part, parts), ...even }] : [],
    );
  });
  return strokes.map((stroke, i) => {
    const share = i / Math.max(1, strokes.length - 1);
    const gain = softened(0.6 + 0.35 * share, word);
    return { ...stroke, voice: fillVoice(word, share), gain };
  });
}

function fillParts({ played }: BandBar, beat: BandBeat): number {
  const swings = played.feel.kind === 'swing' && played.feel.value === 8;
  const wanted = played.meter.unit >= 8 ? partsOfUnits(beat, played) : swings ? 3 : 4;
  const possible = [wanted, 2, 1].filter((parts) => parts in FILLS);
  return possible.find((parts) => beat.lasts / parts >= CLOSEST) ?? 1;
}

const partsOfUnits = (beat: BandBeat, { meter }: BandBar['played']): number =>
  Math.round((beat.length.n * meter.unit) / (beat.length.d * 4));

function fillVoice(word: DrumsWord, share: number): DrumVoice {
  if (word === 'brushes') return 'tap';
  if (word === 'rim') return share < 0.7 ? 'rim' : 'tom-low';
  return share < 0.45 ? 'snare' : share < 0.75 ? 'tom-high' : 'tom-low';
}
