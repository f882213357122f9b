// Says in words what a change asks of the hand: "three fingers lift, barre forms, 7 frets up, 353 ms".
import type { Seconds } from '../base/units.ts';
import type { ShapeChange, FingerMove } from './change.ts';

const NUMBERS = ['no', 'one', 'two', 'three', 'four', 'five'];
const fingers = (count: number): string => `${NUMBERS[count]} finger${count === 1 ? '' : 's'}`;
const verb = (count: number, one: string, more: string): string => (count === 1 ? one : more);

/** Without a time when the music gives none (the two chords never meet in it). */
export function reasonFor(change: ShapeChange, gap?: Seconds): string {
  const leads = [...moveLeads(change.fingers), barreLead(change.barre), shiftLead(change)];
  const time = gap === undefined ? '' : `${Math.round(gap * 1000)} ms`;
  const said = [...leads, time].filter((lead) => lead !== '');
  return said.length > 0 ? said.join(', ') : 'nothing moves';
}

function moveLeads(moves: readonly FingerMove[]): string[] {
  const count = (...kinds: FingerMove['kind'][]) =>
    moves.filter((move) => kinds.includes(move.kind)).length;
  const lift = count('lifts');
  const leap = count('moves');
  const land = count('lands');
  const slide = count('slides');
  const stay = count('stays');
  return [
    leap > 0 ? `${fingers(leap)} ${verb(leap, 'jumps', 'jump')}` : '',
    land > 0 ? `${fingers(land)} ${verb(land, 'lands', 'land')}` : '',
    lift > 0 ? `${fingers(lift)} ${verb(lift, 'lifts', 'lift')}` : '',
    slide > 0 ? `${fingers(slide)} ${verb(slide, 'slides', 'slide')}` : '',
    stay > 0 ? `${fingers(stay)} ${verb(stay, 'stays', 'stay')}` : '',
  ];
}

const BARRE_WORDS: Readonly<Record<ShapeChange['barre'], string>> = {
  none: '',
  kept: '',
  made: 'barre forms',
  released: 'barre opens',
  remade: 'barre changes fingers',
};
const barreLead = (barre: ShapeChange['barre']): string => BARRE_WORDS[barre];

function shiftLead({ shiftFrets }: ShapeChange): string {
  const frets = Math.abs(shiftFrets);
  if (frets === 0) return '';
  return `${frets} ${frets === 1 ? 'fret' : 'frets'} ${shiftFrets > 0 ? 'up' : 'down'}`;
}
