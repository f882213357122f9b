// Our times against @tonejs/midi 2.0.28, an independent reader and writer of Standard MIDI Files:
// the beats of a lap are written as notes at their exact ticks, and its clock must agree with ours.
import tonejsMidi from '@tonejs/midi';
import { describe, expect, it } from 'vitest';
import { meterOf } from '../../app/core/rhythm/meter.ts';
import { rational, toNumber } from '../../app/core/base/rational.ts';
import { buildLap } from '../../app/core/timeline/lap.ts';
import type { Lap } from '../../app/core/timeline/model.ts';
import { emptyBars, PLAIN, SWING_8, unitOf } from '../unit/timeline/examples.ts';

const { Midi } = tonejsMidi;
const TICKS = 480;

/** Writes the lap's audible events and reads their seconds back. */
function throughMidi(lap: Lap): number[] {
  const midi = new Midi();
  midi.header.fromJSON({ ...midi.header.toJSON(), ppq: TICKS });
  for (const bar of lap.bars) {
    midi.header.tempos.push({ bpm: 60 / bar.quarter, ticks: toNumber(bar.at) * TICKS });
  }
  midi.header.update();
  const track = midi.addTrack();
  for (const event of lap.events.filter((e) => e.audible)) {
    track.addNote({ midi: 76, ticks: toNumber(event.at) * TICKS, durationTicks: 10 });
  }
  return new Midi(midi.toArray()).tracks[0]!.notes.map((note) => note.time);
}

describe('the beats of a lap come back from a MIDI file at the same times', () => {
  const cases: readonly (readonly [string, Lap])[] = [
    ['4/4 at 120', buildLap(unitOf(emptyBars(4)), 120, PLAIN)],
    ['6/8 at 75', buildLap(unitOf(emptyBars(4), meterOf(6, 8)), 75, PLAIN)],
    ['7/8 at 125', buildLap(unitOf(emptyBars(4), meterOf(7, 8)), 125, PLAIN)],
    ['swung halves', buildLap(unitOf([{ feel: SWING_8 }]), 100, { ...PLAIN, subdivision: 2 })],
    ['a pickup', buildLap(unitOf([{ pickup: rational(1) }, {}]), 96, PLAIN)],
    [
      'a change of tempo and meter',
      buildLap(
        unitOf([{}, { meter: meterOf(3, 4), tempo: { bpm: 50, beat: 'quarter' } }, {}]),
        125,
        PLAIN,
      ),
    ],
  ];
  it.each(cases)('%s', (_, lap) => {
    const ours = lap.events.filter((e) => e.audible).map((e) => e.seconds);
    const theirs = throughMidi(lap);
    expect(theirs).toHaveLength(ours.length);
    // A MIDI tempo is a whole number of microseconds per quarter: within 0.5 µs per quarter note.
    theirs.forEach((time, i) => expect(Math.abs(time - ours[i]!)).toBeLessThan(5e-5));
  });
});
