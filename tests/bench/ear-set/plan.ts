// What is played in one take of the validation set, drawn from a seed: exact strokes, exact truth, nothing rendered yet.
import type { Bpm, Cents, Midi, PitchClass, Seconds } from '../../../app/core/base/units.ts';
import type { ClickVoice } from '../../../app/core/timeline/click-voices.ts';
import type { Timbre } from './bank.ts';
import { dice } from './random.ts';
import type { Dice } from './random.ts';
import { cleanError, timingError } from './timing.ts';
import { chordOfKey, isOpen, OPEN, pitchClasses, type Quality, shapeOf } from './shapes.ts';
import type { SetShape } from './shapes.ts';

/** Rooms, noises and microphones in which is chosen; the others are for the starts that are reported. */
export const LEVELS = {
  choosing: ['bedroom', 'kitchen', 'window', 'laptop', 'neighbours'],
  reporting: ['quiet', 'room', 'noisy', 'loudspeaker', 'music'],
} as const;
export type Level = (typeof LEVELS)[keyof typeof LEVELS][number];

/** Who plays: all changes right and in time; right, but some early or late; or half of them spoilt. */
export type Player = 'clean' | 'uneven' | 'spoilt';

/** How a change was played. Everything but 'right' must be caught. */
export type Deed =
  | 'right'
  /** The chord before, until the next change. */
  | 'held'
  /** The chord before on the first stroke, the right one from the stroke after. */
  | 'held-then-right'
  /** Minor for major, major for minor. */
  | 'swap'
  | 'no-seventh'
  | 'other'
  /** Dead strings: a stroke without pitch. */
  | 'muted'
  /** One string dead, and with it a tone of the chord. */
  | 'tone-lost'
  /** That string and another one; only in tests/bench/fresh-set. */
  | 'two-lost'
  /** A fretted string that alone carries its tone is half pressed: it dies at once. */
  | 'half-pressed'
  /** Another colour on the same root: a seventh, a fourth, a ninth. */
  | 'colour'
  /** A string that should be silent sounds, with a tone that is not the chord's. */
  | 'extra'
  | 'silent';

export interface TrueChange {
  /** When the first stroke of the chord was due, and when its first string began to sound. */
  readonly due: Seconds;
  readonly played: Seconds | null;
  /** The next change, or the end. */
  readonly until: Seconds;
  readonly bar: number;
  readonly from: SetShape | null;
  readonly to: SetShape;
  readonly deed: Deed;
  /** What sounded instead, where that was a chord. */
  readonly sounded?: SetShape;
}

export interface Pluck {
  /** When this string begins to sound. */
  readonly at: Seconds;
  readonly string: number;
  readonly midi: Midi;
  readonly velocity: number;
  readonly dead: boolean;
  /** Half pressed: it sounds for a moment. */
  readonly weak?: true;
}

export interface Stroke {
  readonly due: Seconds;
  /** The moment of a strum: its first string begins to sound. */
  readonly at: Seconds;
  readonly direction: 'down' | 'up';
  readonly plucks: readonly Pluck[];
  /** Strings that stop just before, and when. */
  readonly lifted: readonly { readonly string: number; readonly at: Seconds }[];
}

export interface TakePlan {
  readonly id: string;
  readonly seed: number;
  readonly timbre: Exclude<Timbre, 'squeak' | 'bass'>;
  readonly level: Level;
  readonly player: Player;
  readonly bpm: Bpm;
  readonly detune: Cents;
  /** Does the chart know the shapes, or only the symbols? */
  readonly shapesKnown: boolean;
  readonly changes: readonly TrueChange[];
  readonly strokes: readonly Stroke[];
  readonly dueStrokes: readonly { readonly at: Seconds; readonly direction: 'down' | 'up' }[];
  readonly clicks: readonly { readonly at: Seconds; readonly voice: ClickVoice }[];
  readonly squeaks: readonly Seconds[];
  /** The first beat of the first bar; before it one bar is counted in. */
  readonly start: Seconds;
  readonly length: Seconds;
}

/** Eight cells of an eighth each: down, up, or nothing. Common practice, no source. */
const PATTERNS = ['D.DU.UDU', 'D.D.D.D.', 'DUDUDUDU', 'D...D...', 'D.DUD.DU', 'D...D.DU'] as const;
const CHANGES = 8;
/** Share of changes spoilt where a player spoils some. */
const SPOILT = 0.5;
/** Computed from one annotated take of GuitarSet: median 11.3 ms, 95 % below 21.4 ms, so ln-spread = ln(21.4/11.3)/1.645. */
const SPREAD = { median: 0.0113, logSd: 0.388, longest: 0.032 } as const;

const TEMPOS = [45, 215] as const;
const FIRST_SEED = 50_000;

export function planTake(
  index: number,
  timbre: TakePlan['timbre'],
  level: Level,
  player: Player,
): TakePlan {
  const seed = FIRST_SEED + index;
  const d = dice(seed);
  const [slowest, fastest] = TEMPOS;
  const bpm = Math.round(slowest * (fastest / slowest) ** d.between(0, 1));
  const beatsEach = d.weighted([
    [4, 45],
    [2, 40],
    [1, 15],
  ] as const);
  const grid = layOut(bpm, beatsEach, d.pick(PATTERNS));
  const changes = drawChanges(d, grid, player, bpm);
  const strokes = changes.flatMap((change) => strokesOf(d, change, changes, grid, bpm));
  return {
    id: `choice-${String(index).padStart(3, '0')}`,
    seed,
    timbre,
    level,
    player,
    bpm,
    detune: drawDetune(d),
    shapesKnown: d.chance(0.9),
    changes,
    strokes: withLifts(strokes),
    dueStrokes: grid.strokes,
    clicks: grid.clicks,
    squeaks: d.chance(0.3) ? changes.slice(1).map((c) => c.due - d.between(0.03, 0.12)) : [],
    start: grid.start,
    length: grid.end + 1,
  };
}

interface Grid {
  readonly start: Seconds;
  readonly end: Seconds;
  readonly changes: readonly Seconds[];
  readonly strokes: readonly { readonly at: Seconds; readonly direction: 'down' | 'up' }[];
  readonly clicks: TakePlan['clicks'];
  readonly barLength: Seconds;
}

/** Everything that is due: one bar counted in, then the changes in 4/4. */
function layOut(bpm: Bpm, beatsEach: number, pattern: string): Grid {
  const beat = 60 / bpm;
  const start = 0.3 + 4 * beat;
  const end = start + CHANGES * beatsEach * beat;
  const eighths = Array.from({ length: CHANGES * beatsEach * 2 }, (_, i) => i);
  const strokes = eighths
    .filter((i) => pattern[i % 8] !== '.')
    .map((i) => ({
      at: start + (i * beat) / 2,
      direction: pattern[i % 8] === 'D' ? ('down' as const) : ('up' as const),
    }));
  const changes = Array.from({ length: CHANGES }, (_, k) => start + k * beatsEach * beat);
  const beats = Array.from({ length: 4 + CHANGES * beatsEach }, (_, i) => i);
  const clicks = beats.map((i) => {
    const changing = i >= 4 && (i - 4) % beatsEach === 0;
    const voice = changing ? 'change' : i % 4 === 0 ? 'bar' : 'beat';
    return { at: 0.3 + i * beat, voice } as const;
  });
  return { start, end, changes, strokes, clicks, barLength: 4 * beat };
}

function drawChanges(d: Dice, grid: Grid, player: Player, bpm: Bpm): TrueChange[] {
  const key: PitchClass = Math.floor(d.between(0, 12));
  const drawn: TrueChange[] = [];
  let wanted: SetShape | null = null;
  let sounding: SetShape | null = null;
  grid.changes.forEach((at, k) => {
    const until = grid.changes[k + 1] ?? grid.end;
    const to = chordOfKey(d, key, wanted ?? undefined);
    const due = grid.strokes.find((s) => s.at >= at - 1e-9 && s.at < until - 1e-9)?.at;
    // A pattern may leave a short chord without any stroke: there is nothing to judge, the chord goes on.
    if (due === undefined) return;
    const deed =
      player === 'spoilt' && d.chance(SPOILT) ? drawDeed(d, to, sounding, until - due) : 'right';
    const sounded = soundedInstead(d, deed, to, sounding, key);
    const error = () =>
      player === 'clean'
        ? cleanError(d, 60 / bpm)
        : timingError(d, nextGap(grid, due, until), 60 / bpm);
    const played = deed === 'silent' ? null : due + error();
    const bar = Math.floor((at - grid.start) / grid.barLength + 1e-9);
    drawn.push({ due, played, until, bar, from: wanted, to, deed, ...(sounded && { sounded }) });
    wanted = to;
    sounding = deed === 'held' ? sounding : (sounded ?? to);
  });
  return drawn;
}

/** Only what can happen here: no first chord is held, no triad loses its seventh. */
function drawDeed(d: Dice, to: SetShape, before: SetShape | null, room: Seconds): Deed {
  const seventh = ['7', 'm7', 'maj7'].includes(to.quality);
  const swaps = ['major', 'minor', '7', 'm7'].includes(to.quality);
  const differs = before !== null && !sameTones(before, to);
  return d.weighted([
    ['held', differs ? 3 : 0],
    ['held-then-right', differs && room > 0.9 ? 1 : 0],
    ['swap', swaps ? 3 : 0],
    ['no-seventh', seventh ? 8 : 0],
    ['other', 2],
    ['muted', 2],
    ['tone-lost', losableString(to) === null ? 0 : 3],
    ['half-pressed', losableString(to, true) === null ? 0 : 2],
    ['colour', coloursOf(to).length === 0 ? 0 : 3],
    ['extra', openBeside(to).length === 0 ? 0 : 2],
    ['silent', 1.5],
  ] as const);
}

const sameTones = (a: SetShape, b: SetShape): boolean =>
  pitchClasses(a.strings).join() === pitchClasses(b.strings).join();

function soundedInstead(
  d: Dice,
  deed: Deed,
  to: SetShape,
  before: SetShape | null,
  key: PitchClass,
): SetShape | undefined {
  if (deed === 'held' || deed === 'held-then-right') return before ?? undefined;
  if (deed === 'swap') {
    const swapped = { major: 'minor', minor: 'major', '7': 'm7', m7: '7' } as const;
    return shapeOf(to.root, swapped[to.quality as keyof typeof swapped], 0);
  }
  if (deed === 'no-seventh') return shapeOf(to.root, to.quality === 'm7' ? 'minor' : 'major', 0);
  if (deed === 'other') return otherChord(d, key, to);
  if (deed === 'tone-lost') {
    const lost = losableString(to);
    return { ...to, strings: to.strings.map((m, string) => (string === lost ? null : m)) };
  }
  if (deed === 'half-pressed') return to;
  if (deed === 'colour') return shapeOf(to.root, d.pick(coloursOf(to)), 0);
  if (deed === 'extra') {
    const beside = d.pick(openBeside(to));
    return {
      ...to,
      strings: to.strings.map((m, string) => (string === beside ? OPEN[string]! : m)),
    };
  }
  return undefined;
}

function otherChord(d: Dice, key: PitchClass, to: SetShape): SetShape {
  for (;;) {
    const shape = chordOfKey(d, key, to);
    if (!sameTones(shape, to)) return shape;
  }
}

/** The highest string whose pitch class no other string has; null if every tone is doubled or it is the root. */
function losableString(shape: SetShape, fretted = false): number | null {
  const only = shape.strings.findLastIndex(
    (m, string) =>
      m !== null &&
      !(fretted && isOpen(m, string)) &&
      m % 12 !== shape.root &&
      shape.strings.filter((other) => other !== null && other % 12 === m % 12).length === 1,
  );
  return only < 0 ? null : only;
}

/** Other chords on the same root that a player may grip instead, with a tone more or another one. */
function coloursOf({ root, quality, strings }: SetShape): Quality[] {
  if (quality !== 'major' && quality !== 'minor') return [];
  const others: readonly Quality[] =
    quality === 'major' ? ['7', 'maj7', 'sus4', 'add9', '6'] : ['m7', 'sus4', 'sus2'];
  const own = pitchClasses(strings).join();
  return others.filter((other) => pitchClasses(shapeOf(root, other, 0).strings).join() !== own);
}

/** Strings that should be silent and whose open tone the chord has not. */
const openBeside = ({ strings }: SetShape): number[] =>
  strings.flatMap((m, string) =>
    m === null && !pitchClasses(strings).includes(OPEN[string]! % 12) ? [string] : [],
  );

const nextGap = (grid: Grid, due: Seconds, until: Seconds): Seconds =>
  (grid.strokes.find((s) => s.at > due + 1e-9)?.at ?? until) - due;

export function drawDetune(d: Dice): Cents {
  const size = d.weighted([
    [Math.abs(d.normal(0, 3)), 60],
    [d.between(5, 25), 25],
    [d.between(25, 45), 15],
  ]);
  return d.chance(0.5) ? size : -size;
}

/** Every stroke that is due in a change's time, as it is really played. */
function strokesOf(
  d: Dice,
  change: TrueChange,
  all: readonly TrueChange[],
  grid: Grid,
  bpm: Bpm,
): Stroke[] {
  const due = grid.strokes.filter((s) => s.at >= change.due - 1e-9 && s.at < change.until - 1e-9);
  const next = all[all.indexOf(change) + 1];
  if (change.deed === 'silent') return [];
  return due.flatMap((slot, i) => {
    const at =
      i === 0 ? change.played! : slot.at + Math.max(-0.03, Math.min(0.03, d.normal(0, 0.008)));
    // A late hand leaves out the strokes it has missed, and an early next change cuts the last one.
    if (i > 0 && at < change.played! + 0.09) return [];
    if (next && next.played !== null && at > next.played - 0.06) return [];
    const shape =
      i > 0 && change.deed === 'held-then-right' ? change.to : (change.sounded ?? change.to);
    const dead = change.deed === 'muted';
    const weak = change.deed === 'half-pressed' ? losableString(change.to, true) : null;
    return [
      {
        ...slot,
        due: slot.at,
        at,
        plucks: strum(d, shape, slot.direction, at, bpm, dead).map((pluck) => ({
          ...pluck,
          ...(pluck.string === weak && { weak: true }),
        })),
        lifted: [],
      },
    ];
  });
}

/** Down from the lowest string, up over the top four or five; slower tempos spread more (common practice, no source). */
export function strum(
  d: Dice,
  shape: SetShape,
  direction: 'down' | 'up',
  at: Seconds,
  bpm: Bpm,
  dead: boolean,
): Pluck[] {
  const sounding = shape.strings.flatMap((midi, string) =>
    midi === null ? [] : [{ midi, string }],
  );
  const hit = direction === 'down' ? sounding : sounding.slice(-d.pick([3, 4, 5])).toReversed();
  const drawn = SPREAD.median * Math.exp(d.normal(0, SPREAD.logSd)) * (120 / bpm) ** 0.3;
  const spread = Math.min(SPREAD.longest, drawn);
  const loudness = d.between(60, 110) * (direction === 'up' ? 0.85 : 1);
  return hit.map((note, i) => ({
    ...note,
    at: at + (hit.length > 1 ? (spread * i) / (hit.length - 1) : 0),
    velocity: Math.max(30, Math.min(120, loudness * d.between(0.85, 1.15))),
    dead,
  }));
}

/** Before a new chord the left hand lifts: fretted strings stop, open ones ring on until struck again. */
export function withLifts(strokes: readonly Stroke[]): Stroke[] {
  return strokes.map((stroke, i) => {
    const before = strokes[i - 1];
    if (!before || pitchesOf(before) === pitchesOf(stroke)) return stroke;
    const lifted = strokes
      .slice(0, i)
      .flatMap((s) => s.plucks)
      .filter((p) => !isOpen(p.midi, p.string) || stroke.plucks.some((q) => q.dead))
      .map((p) => ({ string: p.string, at: stroke.at - 0.02 - (stroke.plucks.length % 3) * 0.01 }));
    return { ...stroke, lifted };
  });
}

/** An up-stroke of the same shape plays part of it: compare the strings that both play. */
const pitchesOf = (stroke: Stroke): string =>
  stroke.plucks
    .toSorted((a, b) => b.string - a.string)
    .slice(0, 3)
    .map((p) => `${p.string}:${p.midi}:${p.dead}`)
    .join();
