// The grips among which a path may choose for one chord: the usual one, its other fingerings, other taught ones.
import { shownSymbol } from '../harmony/note-names.ts';
import type { Frets, Tuning } from '../model/chart.ts';
import type { SoundingChord } from '../model/chord.ts';
import { type Result, fail, ok } from '../base/result.ts';
import { shapeWith, unfingeredShape } from './ease.ts';
import { fingeringBy, fingeringsOf } from './fingering.ts';
import { type Hand, handOf } from './hand.ts';
import { nearestPlayable } from './nearest-playable.ts';
import { type ShapeOptions, leadingShapes } from './search.ts';
import type { Shape } from './shape.ts';
import { PATH } from './weights.ts';

/** One way to hold a chord. */
export interface GripChoice {
  readonly shape: Shape;
  readonly hand: Hand;
  /** What leaving the usual grip costs a path each time; 0 for the usual one. */
  readonly penalty: number;
  /** How it differs from the usual one. */
  readonly kind: 'usual' | 'other fingers' | 'other grip';
}

export interface GripChoices {
  readonly chord: SoundingChord;
  /** The usual grip first. */
  readonly choices: readonly [GripChoice, ...GripChoice[]];
}

/** Fingerings of a shape that nobody teaches: so many, and so much harder than the easiest at most. */
const FINGERINGS_TRIED = 2;
const OTHER_FINGERING = 0.34;
/** Found grips that may stand in for a found one; taught ones always may. */
const FOUND_TRIED = 3;

/** Fails with `no-shape` (the nearest playable one in the cure) or `pin-unplayable`. */
export function gripChoices(
  chord: SoundingChord,
  pin: Frets | undefined,
  tuning: Tuning,
  options: ShapeOptions,
): Result<GripChoices> {
  const shapes = leadingShapes(chord, tuning, { ...options, most: FOUND_TRIED + 1 });
  if (pin) {
    const [first, ...rest] = pinned(pin, shapes, chord, tuning, options);
    return first ? ok({ chord, choices: [first, ...rest] }) : fail(pinProblem(chord));
  }
  const [usual, ...others] = shapes;
  if (!usual) return fail(nearestPlayable(chord, tuning, options).problem);
  const choice = choiceOf(options);
  const found = usual.taught ? others : others.slice(0, FOUND_TRIED);
  return ok({
    chord,
    choices: [
      choice(usual, 'usual', 0),
      ...otherFingers(usual, chord, tuning, options).map((shape) =>
        choice(shape, 'other fingers', PATH.otherFingers),
      ),
      ...found.map((shape) =>
        choice(shape, 'other grip', PATH.otherGrip + Math.max(0, shape.ease - usual.ease)),
      ),
    ],
  });
}

const choiceOf =
  ({ neck }: ShapeOptions) =>
  (shape: Shape, kind: GripChoice['kind'], penalty: number): GripChoice => ({
    shape,
    hand: handOf(shape, neck),
    penalty,
    kind,
  });

/** The pinned frets, with the fingers that are taught for them or the easiest ones. */
function pinned(
  pin: Frets,
  shapes: readonly Shape[],
  chord: SoundingChord,
  tuning: Tuning,
  options: ShapeOptions,
): GripChoice[] {
  const choice = choiceOf(options);
  const taught = shapes.find((shape) => shape.taught && shape.frets.join() === pin.join());
  if (taught) {
    const others = otherFingers(taught, chord, tuning, options);
    return [
      choice(taught, 'usual', 0),
      ...others.map((shape) => choice(shape, 'other fingers', PATH.otherFingers)),
    ];
  }
  const sounding = unfingeredShape(pin, chord, tuning, options.neck);
  const ways = sounding ? fingeringsOf(pin, options.neck, OTHER_FINGERING) : [];
  return ways.slice(0, FINGERINGS_TRIED).map((way, i) => {
    const shape = shapeWith(sounding!, way, chord, options.neck);
    return choice(shape, i === 0 ? 'usual' : 'other fingers', i === 0 ? 0 : PATH.otherFingers);
  });
}

const pinProblem = (chord: SoundingChord) => ({
  code: 'pin-unplayable',
  message: `No hand can hold the shape pinned to ${shownSymbol(chord.symbol, chord.names)}.`,
  cure: 'Pin another shape, or take the pin away.',
});

/** The same frets with the other fingerings that are taught for them. */
function otherFingers(
  shape: Shape,
  chord: SoundingChord,
  tuning: Tuning,
  options: ShapeOptions,
): Shape[] {
  const sounding = unfingeredShape(shape.frets, chord, tuning, options.neck);
  if (!sounding) return [];
  const all = [shape.presses, ...(shape.taught?.others ?? [])];
  // A barre instead of single fingers is a matter of taste, not of the next chord.
  const alike = all.slice(1).filter((presses) => presses.length === shape.presses.length);
  return alike.map((presses) => {
    const way = fingeringBy(presses, shape.frets, options.neck);
    const held = shapeWith(sounding, way, chord, options.neck);
    const others = all.filter((other) => other !== presses);
    return { ...held, taught: { ...shape.taught, others } };
  });
}
