// Says how a shape follows from the one before it, as a teacher would: what stays, what is the same, what alone moves.
import { listed } from '../base/listed.ts';
import type { Finger } from '../base/units.ts';
import type { Frets } from '../model/chart.ts';
import { type Press, type Shape, isBarre, lowestFret } from './shape.ts';

const FINGERS: ReadonlyMap<Finger, string> = new Map<Finger, string>([
  ['T', 'thumb'],
  [1, 'first finger'],
  [2, 'middle finger'],
  [3, 'ring finger'],
  [4, 'little finger'],
]);

/** As players call it: "first finger", "thumb". */
const fingerName = (finger: Finger): string => FINGERS.get(finger)!;

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five', 'six', 'seven'];
const counted = (count: number, one: string): string =>
  `${NUMBERS[count] ?? count} ${one}${count === 1 ? '' : 's'}`;

/** A press as it is held: which finger, where. */
const samePress = (a: Press, b: Press): boolean =>
  a.finger === b.finger && a.fret === b.fret && a.from === b.from && a.to === b.to;

/**
 * One phrase without a full stop, for the shape `to` after `from`; undefined where they have nothing in common that
 * helps. Examples: "the same shape, two frets up", "the same without the little finger", "only the ring finger moves".
 */
export function relationOf(from: Shape, to: Shape): string | undefined {
  if (from.frets.join() === to.frets.join()) return undefined;
  return (
    alongTheNeck(from.frets, to.frets) ??
    barred(from, to) ??
    acrossTheStrings(from, to) ??
    oneFingerMoreOrLess(from, to) ??
    behindAFinger(from, to) ??
    whatStays(from, to)
  );
}

/** The distance by which every sounding string has moved, if it is the same for all and none is open. */
function shiftOf(from: Frets, to: Frets): number | undefined {
  let shift: number | undefined;
  for (const [i, a] of from.entries()) {
    const b = to[i]!;
    if ((a === null) !== (b === null)) return undefined;
    if (a === null || b === null) continue;
    if (shift !== undefined && b - a !== shift) return undefined;
    shift = b - a;
  }
  return shift;
}

function alongTheNeck(from: Frets, to: Frets): string | undefined {
  const shift = shiftOf(from, to);
  if (!shift || from.includes(0) || to.includes(0)) return undefined;
  return `the same shape, ${counted(Math.abs(shift), 'fret')} ${shift > 0 ? 'up' : 'down'}`;
}

function barred(from: Shape, to: Shape): string | undefined {
  const shift = shiftOf(from.frets, to.frets);
  if (!shift) return undefined;
  if (shift > 0 && from.frets.includes(0)) return `the open shape before it, barred at ${shift}`;
  return shift < 0 && to.frets.includes(0) ? 'the same shape, open, without the barre' : undefined;
}

/** All fingers keep their order and go to neighbouring strings, perhaps along the neck as well. */
function acrossTheStrings(from: Shape, to: Shape): string | undefined {
  if (from.presses.length < 2 || from.presses.length !== to.presses.length) return undefined;
  const ways = from.presses.map((press) => {
    const other = to.presses.find(({ finger }) => finger === press.finger);
    if (!other || press.from - press.to !== other.from - other.to) return 'none';
    return `${press.from - other.from} ${other.fret - press.fret}`;
  });
  if (ways[0] === 'none' || ways.some((way) => way !== ways[0])) return undefined;
  const [strings, frets] = ways[0]!.split(' ').map(Number) as [number, number];
  if (strings === 0) return undefined;
  const over = `${counted(Math.abs(strings), 'string')} ${strings > 0 ? 'higher' : 'lower'}`;
  const along = frets === 0 ? '' : ` and ${counted(Math.abs(frets), 'fret')} ${frets > 0 ? 'up' : 'down'}`; // prettier-ignore
  return `the same fingers, ${over}${along}`;
}

function oneFingerMoreOrLess(from: Shape, to: Shape): string | undefined {
  const gone = from.presses.filter((press) => !to.presses.some((other) => samePress(press, other)));
  const come = to.presses.filter((press) => !from.presses.some((other) => samePress(press, other)));
  if (from.presses.length === gone.length && to.presses.length > 0) return undefined;
  if (come.length === 0 && gone.length > 0 && gone.length <= 2) {
    return `the same without the ${listed(gone.map(({ finger }) => fingerName(finger)))}`;
  }
  if (gone.length === 0 && come.length === 1) {
    const { finger, fret, from: string } = come[0]!;
    return `the same, and the ${fingerName(finger)} on string ${string}, fret ${fret}`;
  }
  const [left, next] = [gone[0], come[0]];
  const only = gone.length === 1 && come.length === 1 && left!.finger === next!.finger;
  if (only && !isBarre(next!) && from.presses.length > 1) {
    return `only the ${fingerName(next!.finger)} moves`;
  }
  return undefined;
}

/** One string falls back to what lies behind the finger that held it, whatever fingers hold the rest. */
function behindAFinger(from: Shape, to: Shape): string | undefined {
  const other = from.frets.flatMap((fret, i) => (fret === to.frets[i] ? [] : [i]));
  const [i] = other;
  if (other.length !== 1 || i === undefined) return undefined;
  const [a, b] = [from.frets[i], to.frets[i]];
  if (typeof a !== 'number' || typeof b !== 'number') return undefined;
  const rest = b === lowestFret(to.frets) || b === 0;
  if (b < a && rest)
    return `the same with string ${6 - i} let back to ${b === 0 ? 'open' : `fret ${b}`}`;
  const held = a === lowestFret(from.frets) || a === 0;
  return b > a && held ? `the same with string ${6 - i} at fret ${b}` : undefined;
}

function whatStays(from: Shape, to: Shape): string | undefined {
  const stays = to.presses.filter((press) => from.presses.some((other) => samePress(press, other)));
  if (stays.length === 0) return undefined;
  const names = listed(stays.map(({ finger }) => fingerName(finger)));
  return `the ${names} ${stays.length === 1 ? 'stays' : 'stay'} down`;
}
