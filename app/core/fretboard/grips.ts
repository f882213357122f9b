// Sorts shapes into grips: the easiest shape of each, and beside it the same grip with strings more or fewer.
import type { Frets } from '../model/chart.ts';
import type { Shape } from './shape.ts';

/** Variants shown beside a shape. */
export const VARIANTS_SHOWN = 5;

/** Equal wherever both sound, and one sounds all that the other does. */
export const isAlike = (a: Frets, b: Frets): boolean => isPart(a, b) || isPart(b, a);

/** Does `part` sound only strings that `whole` sounds alike? */
const isPart = (part: Frets, whole: Frets): boolean =>
  part.every((fret, i) => fret === null || fret === whole[i]);

/**
 * One shape for each grip, easiest first, with its variants in `also`: a shape that is alike to an easier
 * one is a variant of it. `shapes` come easiest first; `extra` ones, easiest first too, are listed as
 * variants only.
 */
export function grips<S extends Held>(
  shapes: readonly S[],
  extra: readonly S[],
  most: number,
): readonly (S & Pick<Shape, 'also'>)[] {
  const found: Grip<S>[] = [];
  for (const shape of shapes) {
    const grip = gripOf(shape, found);
    if (grip) grip.variants.push(shape);
    else found.push({ shape, variants: [] });
  }
  for (const shape of extra) gripOf(shape, found)?.variants.push(shape);
  return found.slice(0, most).map(withVariants);
}

type Held = Pick<Shape, 'frets' | 'ease'>;

interface Grip<S> {
  readonly shape: S;
  readonly variants: S[];
}

const gripOf = <S extends Held>({ frets }: S, found: readonly Grip<S>[]): Grip<S> | undefined =>
  found.find((grip) => isAlike(grip.shape.frets, frets));

const withVariants = <S extends Held>({ shape, variants }: Grip<S>) => ({
  ...shape,
  also: variants
    .sort((a, b) => a.ease - b.ease)
    .slice(0, VARIANTS_SHOWN)
    .map(({ frets }) => frets),
});
