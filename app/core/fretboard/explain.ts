// Says what a shape is: an open one, or which open shape it repeats higher up and how.
import { nameNotes } from '../harmony/naming.ts';
import { shownNote, shownSymbol } from '../harmony/note-names.ts';
import { namedStrings } from '../harmony/tunings.ts';
import { readChord } from '../harmony/read.ts';
import type { Frets, Tuning } from '../model/chart.ts';
import type { NoteNames } from '../model/chord.ts';
import { isAlike } from './grips.ts';
import { shapesFor } from './search.ts';
import { pitchesOf } from './capo.ts';
import { isBarre, lowestFret, soundingPitches } from './shape.ts';
import type { Shape } from './shape.ts';

/** "the open A minor shape, barred at 2"; "the open D shape, 1 fret up"; "an open shape"; "a closed shape …". */
export function explainShape(shape: Shape, tuning: Tuning, names?: NoteNames): string {
  const low = lowestFret(shape.frets);
  if (shape.frets.includes(0)) return 'an open shape';
  const open = shape.frets.map((fret) => (fret === null ? null : fret - low));
  const like = openChord(open, tuning);
  if (like === undefined) return `a closed shape from fret ${low}`;
  const barred = shape.presses.some((press) => isBarre(press) && press.fret === low);
  const where = barred ? `barred at ${low}` : `${low} ${low === 1 ? 'fret' : 'frets'} up`;
  return `the ${openName(like, names)} shape, ${where}`;
}

/** Cheapest shapes of an open chord that count as known by hand. */
const KNOWN = 8;

/** Open chords that players know by name; likening a shape to a rarer one would help nobody. Ours. */
const EVERYDAY = [
  '',
  'm',
  '7',
  'm7',
  'maj7',
  'sus4',
  'sus2',
  '7sus4',
  '6',
  'm6',
  'add9',
  '9',
  'dim7',
];

/** The chord that these frets are in open position, if the model itself would choose them for it. */
function openChord(frets: Frets, tuning: Tuning): string | undefined {
  const names = nameNotes(soundingPitches(pitchesOf(frets, namedStrings(tuning))));
  if (!names.ok) return undefined;
  const symbol = names.value[0]!.symbol;
  const chord = readChord(symbol);
  if (!chord.ok || chord.value.kind === 'silence') return undefined;
  if (!EVERYDAY.includes(chord.value.quality)) return undefined;
  const known = shapesFor(chord.value, tuning, { most: KNOWN });
  return known.some((shape) => isAlike(frets, shape.frets)) ? symbol : undefined;
}

/** "open A", "open A minor"; other qualities by symbol: "open Am7". */
function openName(symbol: string, names: NoteNames | undefined): string {
  const minor = /^([A-G][#b]?)m$/.exec(symbol);
  return `open ${minor ? `${shownNote(minor[1]!, names)} minor` : shownSymbol(symbol, names)}`;
}
