// How the network's weights are written down: two digits each, all high ones before all low ones, which packs
// smaller than decimal text and is exact.

const DIGITS = 'ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-_';
const BASE = DIGITS.length;
/** Weights lie from −2048 to 2047 units. */
const ZERO = (BASE * BASE) / 2;

/** @throws RangeError for a number that is not whole or does not fit into two digits. */
export function packWeights(units: readonly number[]): string {
  const places = units.map((unit) => unit + ZERO);
  const odd = places.find((place) => !(Number.isInteger(place) && place >= 0 && place < ZERO * 2));
  if (odd !== undefined) {
    throw new RangeError(
      `packWeights: ${odd - ZERO} is not a whole number from ${-ZERO} to ${ZERO - 1}`,
    );
  }
  const high = places.map((place) => DIGITS[Math.floor(place / BASE)]);
  const low = places.map((place) => DIGITS[place % BASE]);
  return [...high, ...low].join('');
}

/** The inverse of {@link packWeights}. */
export function unpackWeights(packed: string): number[] {
  const count = packed.length / 2;
  const digit = (at: number): number => DIGITS.indexOf(packed[at]!);
  return Array.from({ length: count }, (_, i) => digit(i) * BASE + digit(count + i) - ZERO);
}
