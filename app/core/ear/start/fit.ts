// How well a pass fits a recording if it begins at a given place: the sum of four witnesses, in nats.
//
// Each witness is a log likelihood up to what all places share. The numbers are guesses of what players and rooms do,
// tried on the train part of tests/bench/start-set and kept or left by its choose part.
import type { Seconds, Share } from '../../base/units.ts';
import { type ChordOdds, MOMENT } from './chord-odds.ts';
import { type Due, type DueChord, heldBy } from './due.ts';

/** A recording as a whole. */
export interface Heard {
  /** Moments of strokes, by time; never empty. */
  readonly strokes: readonly Seconds[];
  readonly chords: ChordOdds;
  readonly length: Seconds;
}

/** How much speaks for a start at `start` seconds into the recording, in nats: the greatest is the likeliest. */
export function worthOf(heard: Heard, due: Due, start: Seconds): number {
  return (
    STROKES.worth * strokesWorth(heard, due, start) +
    chordsWorth(heard, due, start) +
    edgeWorth(heard, due, start) +
    wholeWorth(heard, due, start)
  );
}

const STROKES = {
  /** Strokes are not heard independently of each other: what went wrong with one goes wrong with more. */
  worth: 0.5,
  /** Share of the due strokes that are heard, at most and at least: fast ones rise little above each other. */
  heard: { most: 0.9, least: 0.3 },
  /** How far from their moment they come. */
  spread: 0.018,
  /**
   * Share of those with a change that come anywhere from so early to so late instead; one that comes later than this
   * share of the time to the next stroke is taken for that one.
   */
  loose: { share: 0.15, from: -0.06, to: 0.18, ofGap: 0.7 },
  /** Strokes that nobody wrote, by the second: within the pass, where strokes are written and where not; after it. */
  unwritten: { written: 0.7, free: 3, after: 0.5 },
  /**
   * Talk, noodling, a pass that goes on beyond its end: a stretch before or after the pass may be full of strokes, so many
   * by the second. That it is so, rather than a few strokes by chance, costs so much.
   */
  busy: { rate: 3, cost: 8 },
  /**
   * Before it: some time before, in the last beats, and one that is a click of the count-in: so near to its moment,
   * where at least this share of them is heard.
   */
  before: { long: 0.35, just: 0.12, justBeats: 2, click: 0.6, clickNear: 0.05, clicksHeard: 0.7 },
} as const;

/**
 * Every due stroke takes the nearest heard one or is missing; each heard one that nothing takes was unwritten. Of several
 * that would take the same one, it is the stroke that suits it best that does.
 */
function strokesWorth({ strokes, length }: Heard, due: Due, start: Seconds): number {
  const within = due.written ? STROKES.unwritten.written : STROKES.unwritten.free;
  const share = shareHeard(strokes, due);
  const missing = Math.log(1 - share);
  let worth = 0;
  const explained = new Uint8Array(strokes.length);
  const gains = new Float64Array(strokes.length);
  due.strokes.forEach(({ at, changes }, k) => {
    const moment = start + at;
    if (moment < 0 || moment > length) return;
    worth += missing;
    const near = nearest(strokes, moment);
    const off = strokes[near]! - moment;
    if (Math.abs(off) > STROKES.loose.to) return;
    const gap = (due.strokes[k + 1]?.at ?? due.end) - at;
    const hit = Math.log(share * likely(off, changes, gap) + 1e-9);
    if (hit - Math.log(within) < missing) return;
    gains[near] = Math.max(gains[near]!, hit - missing);
    explained[near] = 1;
  });
  for (const gain of gains) worth += gain;
  const others = strokes.filter((_, i) => !explained[i]);
  return worth + unwrittenWorth(others, { strokes, length }, due, start);
}

/** Of the strokes that nothing due explains. */
function unwrittenWorth(
  others: readonly Seconds[],
  { strokes, length }: Pick<Heard, 'strokes' | 'length'>,
  due: Due,
  start: Seconds,
): number {
  const { before, unwritten } = STROKES;
  const [first, last] = [start + due.strokes[0]!.at, start + due.end];
  const just = first - before.justBeats * due.beat;
  const within = due.written ? unwritten.written : unwritten.free;
  let worth = 0;
  let [long, after] = [0, 0];
  let clicks: ReadonlySet<Seconds> | undefined;
  for (const at of others) {
    if (at >= last) after++;
    else if (at >= first - 0.05) worth += Math.log(within);
    else if ((clicks ??= clicksHeard(strokes, due, start)).has(at)) worth += Math.log(before.click);
    else if (at > just) worth += Math.log(before.just);
    else long++;
  }
  return (
    worth +
    fewOrMany(long, Math.max(0, just), before.long) +
    fewOrMany(after, Math.max(0, length - last), unwritten.after)
  );
}

/** So many strokes in a stretch: by chance at their usual rate, or because somebody talks or plays there. */
function fewOrMany(count: number, stretch: Seconds, usual: number): number {
  const { rate, cost } = STROKES.busy;
  const many = count * Math.log(rate) - (rate - usual) * stretch - cost;
  return Math.max(count * Math.log(usual), many);
}

/** A recording in which fewer strokes are heard than are due lets none of them be missed much. */
function shareHeard(strokes: readonly Seconds[], due: Due): Share {
  const { most, least } = STROKES.heard;
  return Math.max(least, Math.min(most, strokes.length / due.strokes.length));
}

/** Which of the strokes are the count-in's clicks: mostly all of them are heard, or none. */
function clicksHeard(strokes: readonly Seconds[], due: Due, start: Seconds): ReadonlySet<Seconds> {
  const { clickNear, clicksHeard: least } = STROKES.before;
  const moments = due.countIn.map((at) => start + at).filter((at) => at > 0);
  const heard = moments.flatMap((at) => {
    const near = strokes[nearest(strokes, at)]!;
    return Math.abs(near - at) < clickNear ? [near] : [];
  });
  return new Set(heard.length > 0 && heard.length >= least * moments.length ? heard : []);
}

/** Probability density, by the second, of a stroke so far from its moment, and `gap` before the next one is due. */
function likely(off: Seconds, changes: boolean, gap: Seconds): number {
  const { share, from, ofGap } = STROKES.loose;
  const to = Math.min(STROKES.loose.to, ofGap * gap);
  const close =
    (bell(off / STROKES.spread) * (1 - share)) / (STROKES.spread * Math.sqrt(2 * Math.PI));
  return changes && off > from && off < to ? close + share / (to - from) : close;
}

const bell = (x: number): number => Math.exp(-0.5 * x * x);

const CHORDS = {
  /** Moments say much the same; those of one beat together are worth so many, of short beats in proportion. */
  worth: 1.2,
  shortBeat: 0.6,
  /** Share of beats on which the written chord sounds. */
  right: 0.9,
  /** A chord that was played wrong all along speaks no louder than this against a place. */
  wrong: 2,
  /** The pick, and the beat that begins, are left out. */
  pick: 0.06,
  gap: { before: 0.03, after: 0.02 },
} as const;

/** Every beat of every chord. */
function chordsWorth(heard: Heard, due: Due, start: Seconds): number {
  return due.chords.reduce(
    (sum, chord) => sum + Math.max(-CHORDS.wrong, chordWorth(heard, chord, start)),
    0,
  );
}

function chordWorth(heard: Heard, chord: DueChord, start: Seconds): number {
  const beat = (chord.until - chord.from) / chord.beats;
  const worth = CHORDS.worth * Math.min(1, beat / CHORDS.shortBeat);
  return oddsByBeat(heard, chord, start).reduce(
    (sum, odds) => sum + Math.log(CHORDS.right * Math.exp(worth * odds) + 1 - CHORDS.right),
    0,
  );
}

/** Of the beats that the recording holds. */
function oddsByBeat(
  { chords, length }: Heard,
  { tones, from, until, beats }: DueChord,
  start: Seconds,
): number[] {
  const { pick, gap } = CHORDS;
  const beat = (until - from) / beats;
  const found: number[] = [];
  for (let k = 0; k < beats; k++) {
    const begins = start + from + k * beat;
    const [a, b] = [begins + (k === 0 ? pick : gap.after), begins + beat - gap.before];
    const odds = a < 0 || b > length ? null : chords.mean(tones, a, b);
    if (odds !== null) found.push(odds);
  }
  return found;
}

/** Share of the beats on which the chord that is due is likelier than another; 1 where no chord is due. */
export function chordsHeard(heard: Heard, due: Due, start: Seconds): Share {
  const odds = due.chords.flatMap((chord) => oddsByBeat(heard, chord, start));
  return odds.length === 0 ? 1 : odds.filter((o) => o > 0).length / odds.length;
}

const EDGE = {
  worth: 5,
  /** From so many dB on the sound rises with the first stroke, and with so many more it does so surely. */
  rise: { from: 3, more: 10 },
  /** Nothing is known of what came before the recording. */
  unseen: 8,
  window: { before: 0.08, from: 0.04, to: 0.4 },
} as const;

/** A pass begins out of silence: a stretch of a beat before its first stroke is quieter than what follows. */
function edgeWorth({ chords: { levels } }: Heard, due: Due, start: Seconds): number {
  const { before, from, to } = EDGE.window;
  const first = start + due.strokes[0]!.at;
  const quiet = sortedBetween(levels, first - due.beat, first - before);
  const loud = sortedBetween(levels, first + from, first + to);
  const seen = quiet.length > 3 && loud.length > 0;
  // A click may fall into the stretch before: its quieter part counts.
  const rise = seen ? loud[loud.length >> 1]! - quiet[quiet.length >> 2]! : EDGE.unseen;
  return EDGE.worth * Math.max(0, Math.min(1, (rise - EDGE.rise.from) / EDGE.rise.more));
}

function sortedBetween(levels: Float64Array, from: Seconds, to: Seconds): Float64Array {
  const first = Math.max(0, Math.round(from / MOMENT));
  return levels.slice(first, Math.max(first, Math.round(to / MOMENT) + 1)).sort();
}

/** Few recordings lack a part of the pass, and fewer a large one. */
const LACKING = { any: 4, all: 6 } as const;
/** The end of a last chord is nobody's loss. */
const SPARE: Seconds = 0.3;

function wholeWorth({ length }: Heard, due: Due, start: Seconds): number {
  const whole = start > -0.05 && start + due.end < length + SPARE;
  return whole ? 0 : -LACKING.any - LACKING.all * (1 - heldBy(length, due, start));
}

/** Index of the one nearest to `at`. */
export function nearest(sorted: readonly Seconds[], at: Seconds): number {
  let low = 0;
  let high = sorted.length - 1;
  while (low < high) {
    const middle = (low + high) >> 1;
    if (sorted[middle]! < at) low = middle + 1;
    else high = middle;
  }
  return low > 0 && at - sorted[low - 1]! < Math.abs(sorted[low]! - at) ? low - 1 : low;
}
