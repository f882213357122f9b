// Says in one plain line how to make a change: what to do at once, what stays, and which finger leads.
import { listed } from '../base/listed.ts';
import type { ShapeChange, FingerMove } from './change.ts';
import { type Press, type Shape, isBarre } from './shape.ts';

/** Strings under a finger from which on it is called a whole barre. */
const WHOLE_BARRE = 5;
/** Frets of the hand's way that the eye should lead. */
const FAR = 3;

/** "Make the whole barre at once; finger 1 leads." One or two short sentences, without figures of cost or time. */
export function adviceFor(change: ShapeChange, to: Pick<Shape, 'presses'>): string {
  const moving = change.fingers.filter(({ kind }) => kind !== 'stays' && kind !== 'lifts');
  const staying = change.fingers.filter(({ kind }) => kind === 'stays');
  const barre = to.presses.find(isBarre);
  if (barre && (change.barre === 'made' || change.barre === 'remade')) return barreWords(barre);
  if (moving.length === 0) return onlyLifting(change.fingers);
  const far = Math.abs(change.shiftFrets) >= FAR;
  if (far) {
    const way = change.shiftFrets > 0 ? 'up' : 'down';
    return `Look ${Math.abs(change.shiftFrets)} frets ${way} the neck first, then move the hand in one go.`;
  }
  if (staying.length > 0) return `${fingers(staying)} down; ${movingWords(moving)}.`;
  const lead = leader(to.presses, moving);
  const all = moving.length === 1 ? 'It moves alone' : `Move ${moving.length === 2 ? 'both' : `all ${moving.length}`} fingers together`; // prettier-ignore
  return lead ? `${all}; finger ${lead.finger} leads, to string ${lead.from}.` : `${all}.`;
}

const onlyLifting = (moves: readonly FingerMove[]): string => {
  const lifted = moves.filter(({ kind }) => kind === 'lifts').map(({ finger }) => finger);
  return lifted.length > 0 ? `Just lift finger ${listed(lifted)}.` : 'Nothing moves.';
};

function barreWords({ finger, from, to }: Press): string {
  const strings = from - to + 1;
  return strings >= WHOLE_BARRE
    ? `Make the whole barre at once; finger ${finger} leads.`
    : `Lay finger ${finger} across ${strings} strings first; the others follow.`;
}

const fingers = (moves: readonly FingerMove[]): string =>
  moves.length === 1
    ? `Finger ${moves[0]!.finger} stays`
    : `Fingers ${listed(moves.map(({ finger }) => finger))} stay`;

const movingWords = (moves: readonly FingerMove[]): string =>
  moves.length === 1
    ? `only finger ${moves[0]!.finger} moves`
    : `fingers ${listed(moves.map(({ finger }) => finger))} move together`;

/** The finger on the lowest string: the first that a down-stroke meets. */
const leader = (presses: readonly Press[], moving: readonly FingerMove[]): Press | undefined =>
  presses
    .filter((press) => moving.some(({ finger }) => finger === press.finger))
    .toSorted((a, b) => b.from - a.from)[0];
