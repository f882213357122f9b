// The shapes and fingerings among which a path may choose for one chord, a pinned shape included.
import type { Frets, Tuning } from '../model/chart.ts';
import type { SoundingChord } from '../model/chord.ts';
import { type Result, fail, ok } from '../base/result.ts';
import { shapeWith, soundingOf } from './ease.ts';
import { fingeringsOf } from './fingering.ts';
import { type Hand, handOf } from './hand.ts';
import { nearestPlayable } from './nearest-playable.ts';
import { type ShapeOptions, shapesFor } from './search.ts';
import type { Shape } from './shape.ts';
import { PATH } from './weights.ts';

export interface Candidate {
  readonly shape: Shape;
  readonly hand: Hand;
  /** What holding it adds to a path. */
  readonly hold: number;
}

export interface CandidateSet {
  readonly chord: SoundingChord;
  readonly candidates: readonly Candidate[];
  /** Which of them the path may take: all, or only the pinned shape's fingerings. */
  readonly open: readonly boolean[];
}

/** Fingerings tried for one shape, and how much harder than its easiest the others may be. */
const FINGERINGS_TRIED = 3;
const OTHER_FINGERING = 0.34;

/** Fails with `no-shape` (the nearest playable one in the cure) or `pin-unplayable`. */
export function candidatesFor(
  chord: SoundingChord,
  pin: Frets | undefined,
  tuning: Tuning,
  options: ShapeOptions,
): Result<CandidateSet> {
  const found = shapesFor(chord, tuning, options);
  const free = found.map((shape) => shape.frets);
  const known = !pin || free.some((frets) => frets.join() === pin.join());
  const frets = known ? free : [pin, ...free];
  const candidates = frets.flatMap((f) => fingered(f, alsoOf(f, found), chord, tuning, options));
  const open = candidates.map((c) => !pin || c.shape.frets.join() === pin.join());
  if (open.includes(true)) return ok({ chord, candidates, open });
  return fail(pin ? pinProblem(chord) : nearestPlayable(chord, tuning, options).problem);
}

const alsoOf = (frets: Frets, found: readonly Shape[]): Shape['also'] =>
  found.find((shape) => shape.frets.join() === frets.join())?.also ?? [];

const pinProblem = (chord: SoundingChord) => ({
  code: 'pin-unplayable',
  message: `No hand can hold the shape pinned to ${chord.symbol}.`,
  cure: 'Pin another shape, or take the pin away.',
});

/** The frets with their best fingering, and with others that are nearly as good. */
function fingered(
  frets: Frets,
  also: Shape['also'],
  chord: SoundingChord,
  tuning: Tuning,
  options: ShapeOptions,
): Candidate[] {
  const sounding = soundingOf(frets, chord, tuning, options.neck);
  const fingerings = sounding ? fingeringsOf(frets, options.neck, OTHER_FINGERING) : [];
  return fingerings.slice(0, FINGERINGS_TRIED).map((f) => {
    const shape = { ...shapeWith(sounding!, f, chord, options.neck), also };
    return { shape, hand: handOf(shape, options.neck), hold: shape.ease * PATH.hold };
  });
}
