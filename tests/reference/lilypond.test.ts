// A second opinion on common chords: the engraver's table in Debian's `lilypond-data`. The search for the
// weights scored chords-db only; this table was looked at, not scored.
import { expect, test } from 'vitest';
import { printFrets } from '../../app/core/fretboard/frets.ts';
import { isAlike } from '../../app/core/fretboard/grips.ts';
import { shapesFor } from '../../app/core/fretboard/search.ts';
import { fingersOf, soundingPitches } from '../../app/core/fretboard/shape.ts';
import { pitchesOf } from '../../app/core/fretboard/capo.ts';
import { STANDARD } from '../../app/core/harmony/tunings.ts';
import type { SoundingChord } from '../../app/core/model/chord.ts';
import { readChord } from '../../app/core/harmony/read.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { needsTable, type TableEntry, readTable } from './lilypond.ts';

const chordOf = (symbol: string) => unwrap(readChord(symbol)) as SoundingChord;
const table = readTable();

/** Pitch classes sounding that are not in the chord. */
const extraIn = ({ symbol, frets }: TableEntry) =>
  soundingPitches(pitchesOf(frets, STANDARD.strings)).filter(
    (midi) => !chordOf(symbol).pitchClasses.includes(midi % 12),
  );

test(
  'every chord in the table can be read, and nearly no note in it is foreign to its chord',
  needsTable,
  () => {
    expect(table.length).toBeGreaterThanOrEqual(153);
    const foreign = table.filter((entry) => extraIn(entry).length > 0);
    const listed = foreign.map((e) => `${e.symbol} ${printFrets(e.frets)}`).join(', ');
    console.log(
      `lilypond-data: ${foreign.length} shapes with a note outside their own chord: ${listed}`,
    );
    expect(foreign.length / table.length).toBeLessThan(0.03);
  },
);

test(
  'how many of its shapes are among our best three and five, and with whose fingers',
  needsTable,
  () => {
    const places = table.map((entry) => {
      const ours = shapesFor(chordOf(entry.symbol), STANDARD);
      const place = ours.findIndex((shape) => isAlike(shape.frets, entry.frets));
      const same = ours.find((shape) => shape.frets.join() === entry.frets.join());
      const fingers = same && fingersOf(same).join() === entry.fingers.join();
      return { place, same, fingers };
    });
    const within = (best: number) => places.filter((p) => p.place >= 0 && p.place < best).length;
    const listed = places.filter((p) => p.same).length;
    const fingered = places.filter((p) => p.fingers).length;
    console.log(
      `lilypond-data: ${table.length} chords; ${within(1)} are our first grip, ${within(3)} among our ` +
        `best three, ${within(5)} among five; of ${listed} listed fret for fret, ${fingered} have our fingers`,
    );
    expect(within(3) / table.length).toBeGreaterThanOrEqual(0.75);
  },
);
