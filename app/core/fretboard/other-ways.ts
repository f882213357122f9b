// The other ways to hold one chord of a path, for people to choose from: other shapes, and the shape's own variants.
import type { Frets, Tuning } from '../model/chart.ts';
import { type Hand, handOf } from './hand.ts';
import { type Path, changeCost } from './path.ts';
import { type ShapeOptions, USUAL_OPTIONS, shapesFor } from './search.ts';
import type { Shape } from './shape.ts';

export interface OtherShape {
  readonly shape: Shape;
  /** How much harder holding it and the changes at this place are than with the shape chosen; may be below 0. */
  readonly extra: number;
}

export interface OtherWays {
  /** The ones that are taught first. */
  readonly shapes: readonly OtherShape[];
  /** The chosen shape with strings left out or let sound. */
  readonly variants: readonly Frets[];
}

/** Shapes shown. */
const SHOWN = 6;

/** Of the step at an index; nothing where that step holds no shape. */
export function otherWays(
  steps: Path['steps'],
  index: number,
  tuning: Tuning,
  given: Partial<ShapeOptions> = {},
): OtherWays {
  const options = { ...USUAL_OPTIONS, ...given };
  const step = steps[index];
  if (step?.kind !== 'shape') return { shapes: [], variants: [] };
  const key = step.shape.frets.join();
  const all = shapesFor(step.chord, tuning, options);
  const [before, after] = [handAt(steps, index - 1, options), handAt(steps, index + 1, options)];
  const effort = (shape: Shape): number => {
    const hand = handOf(shape, options.neck);
    const into = before ? changeCost(before, hand) : 0;
    return shape.ease + into + (after ? changeCost(hand, after) : 0);
  };
  const here = effort(step.shape);
  return {
    shapes: all
      .filter(({ frets }) => frets.join() !== key)
      .slice(0, SHOWN)
      .map((shape) => ({ shape, extra: effort(shape) - here })),
    variants: all.find(({ frets }) => frets.join() === key)?.also ?? [],
  };
}

function handAt(steps: Path['steps'], index: number, { neck }: ShapeOptions): Hand | undefined {
  const step = steps[index];
  return step?.kind === 'shape' ? handOf(step.shape, neck) : undefined;
}
