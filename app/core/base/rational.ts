// Exact positions and lengths in music. Plain data (not a class of a library), so that it survives
// JSON, structured clone and IPC unchanged; numerators stay far below 2^53 in any chart.

/** n/d in lowest terms, d ≥ 1. Build with {@link rational}, never by hand. */
export interface Rational {
  readonly n: number;
  readonly d: number;
}

export const ZERO: Rational = Object.freeze({ n: 0, d: 1 });
export const ONE: Rational = Object.freeze({ n: 1, d: 1 });

/** @throws RangeError unless both are safe integers and d is not 0. */
export function rational(n: number, d = 1): Rational {
  if (!Number.isSafeInteger(n) || !Number.isSafeInteger(d) || d === 0) {
    throw new RangeError(`rational: ${n}/${d} is not a ratio of safe integers`);
  }
  if (d === 1) return { n: n || 0, d };
  const g = gcd(Math.abs(n), Math.abs(d)) * (d < 0 ? -1 : 1);
  return { n: n / g || 0, d: d / g };
}

/** The exact sum, in lowest terms. @throws RangeError where it is no ratio of safe integers, as all these do */
export const add = (a: Rational, b: Rational): Rational =>
  rational(a.n * b.d + b.n * a.d, a.d * b.d);

/** The exact difference, in lowest terms. */
export const sub = (a: Rational, b: Rational): Rational =>
  rational(a.n * b.d - b.n * a.d, a.d * b.d);

/** The exact product, in lowest terms. */
export const mul = (a: Rational, b: Rational): Rational => rational(a.n * b.n, a.d * b.d);

/** The exact quotient, in lowest terms. @throws RangeError where `b` is 0 */
export const div = (a: Rational, b: Rational): Rational => rational(a.n * b.d, a.d * b.n);
/** Negative, zero or positive as a is before, equal to or after b. */
export const compare = (a: Rational, b: Rational): number => a.n * b.d - b.n * a.d;

/** Are they the same number? Both in lowest terms, as {@link rational} makes them. */
export const equals = (a: Rational, b: Rational): boolean => a.n === b.n && a.d === b.d;

/** The nearest floating-point number. */
export const toNumber = (a: Rational): number => a.n / a.d;

/** The exact sum of all; 0 of none. */
export const sum = (all: readonly Rational[]): Rational => all.reduce(add, ZERO);

function gcd(a: number, b: number): number {
  while (b !== 0) [a, b] = [b, a % b];
  return a || 1;
}
