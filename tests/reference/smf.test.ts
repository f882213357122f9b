// Our Standard MIDI Files as readers see them: midi-file 1.2.4 (which also writes them) and @tonejs/midi 2.0.28; fluidsynth is the
// independent one, in smf-fluidsynth.test.ts.
import tonejsMidi from '@tonejs/midi';
import { parseMidi } from 'midi-file';
import { describe, expect, it } from 'vitest';
import { meterOf } from '../../app/core/rhythm/meter.ts';
import type { Unit } from '../../app/core/model/unit.ts';
import { practiceTrack, type TrackOptions } from '../../app/core/exchange/practice-track.ts';
import { writeSmf } from '../../app/core/exchange/midi/write.ts';
import { rational } from '../../app/core/base/rational.ts';
import { unwrap } from '../../app/core/base/result.ts';
import { hitsOf } from '../../app/core/sound/hits.ts';
import { emptyBars, PLAIN, SWING_8, unitOf } from '../unit/timeline/examples.ts';

const { Midi } = tonejsMidi;
const OPTIONS: TrackOptions = {
  tempos: [120, 125],
  passes: 1,
  lap: { ...PLAIN, restBars: 1 },
  click: 'all',
};
const write = (unit: Unit, options: Partial<TrackOptions> = {}) => {
  const track = unwrap(practiceTrack(unit, { ...OPTIONS, ...options }));
  return { track, bytes: writeSmf(track, 'Kiln Road ♯2') };
};

describe('bytes as SMF 1.0 prints them', () => {
  const has = (bytes: readonly number[]) =>
    Buffer.from(write(unitOf([{}], meterOf(4, 4))).bytes).includes(Buffer.from(bytes));
  it('120 bpm is FF 51 03 07 A1 20', () => {
    expect(has([0xff, 0x51, 0x03, 0x07, 0xa1, 0x20])).toBe(true);
  });
  it('4/4 is FF 58 04 04 02 18 08', () => {
    expect(has([0xff, 0x58, 0x04, 0x04, 0x02, 0x18, 0x08])).toBe(true);
  });
  it('a title goes out as UTF-8', () => {
    expect(has([0xff, 0x03, 14, ...Buffer.from('Kiln Road ♯2')])).toBe(true);
  });
});

describe('what midi-file reads', () => {
  const unit = unitOf([{ pickup: rational(1, 2) }, { meter: meterOf(6, 8) }], meterOf(4, 4));
  const { header, tracks } = parseMidi(write(unit).bytes);
  const conductor = tracks[0]!;

  it('is a file of format 1 with 960 ticks to the quarter', () => {
    expect(header).toMatchObject({ format: 1, numTracks: 2, ticksPerBeat: 960 });
  });

  it('has the time signatures, with short bars at their own length', () => {
    const meters = conductor.filter((e) => e.type === 'timeSignature');
    // Count-in of 3½ quarters, pickup of ½, then 6/8 with its beat of 36 clocks, and 6/8 at rest.
    expect(meters.slice(0, 3).map((e) => [e.numerator, e.denominator, e.metronome])).toEqual([
      [7, 8, 24],
      [1, 8, 24],
      [6, 8, 36],
    ]);
  });

  it('has tempo and markers for every rung', () => {
    const tempos = conductor.filter((e) => e.type === 'setTempo');
    expect(tempos.map((e) => e.microsecondsPerBeat)).toEqual([500_000, 480_000]);
    const markers = conductor.filter((e) => e.type === 'marker').map((e) => e.text);
    expect(markers).toEqual(
      ['120', '125'].flatMap((bpm) => [
        `${bpm} bpm: count-in`,
        `${bpm} bpm: Verse`,
        `${bpm} bpm: rest`,
      ]),
    );
  });
});

describe('what @tonejs/midi reads', () => {
  const cases: readonly (readonly [string, Unit, Partial<TrackOptions>])[] = [
    ['4/4', unitOf(emptyBars(2)), {}],
    [
      '6/8 with subdivisions',
      unitOf(emptyBars(2), meterOf(6, 8)),
      { lap: { ...PLAIN, subdivision: 2 } },
    ],
    ['swung halves', unitOf([{ feel: SWING_8 }]), { lap: { ...PLAIN, subdivision: 2 } }],
    ['7/8', unitOf(emptyBars(3), meterOf(7, 8)), {}],
    ['several passes without rest', unitOf(emptyBars(2)), { lap: PLAIN, passes: 3 }],
  ];
  it.each(cases)('the clicks of %s at their times', (_, unit, options) => {
    const { track, bytes } = write(unit, options);
    const ours = track.laps.flatMap(({ lap, startsAt }) =>
      hitsOf(lap).map((hit) => startsAt + hit.seconds),
    );
    const theirs = new Midi(bytes).tracks[0]!.notes.map((note) => note.time);
    expect(theirs).toHaveLength(ours.length);
    theirs.forEach((time, i) => expect(Math.abs(time - ours[i]!)).toBeLessThan(1e-4));
  });

  it('the model’s pitches, strum by strum', () => {
    const unit = unitOf([{ chords: [['Em', 0]] }]);
    const voicings = [[40, 47, 52, 55, 59, 64]];
    const { track, bytes } = write(unit, { voicings, tempos: [120] });
    const guitar = new Midi(bytes).tracks.find((t) => t.name === 'Guitar')!;
    const notes = guitar.notes.toSorted((a, b) => a.ticks - b.ticks);
    expect(notes.map((note) => note.midi)).toEqual(track.laps[0]!.model.map((note) => note.midi));
    notes.forEach((note, i) => {
      expect(Math.abs(note.time - track.laps[0]!.model[i]!.seconds)).toBeLessThan(6e-4);
    });
  });

  it('two strings in unison as notes that follow one another', () => {
    const unit = unitOf([{ chords: [['A5', 0]] }]);
    const { bytes } = write(unit, { voicings: [[null, 45, 52, 57, 57, null]], tempos: [120] });
    const guitar = new Midi(bytes).tracks.find((t) => t.name === 'Guitar')!;
    const unison = guitar.notes.filter((note) => note.midi === 57);
    unison.slice(1).forEach((note, i) => {
      expect(unison[i]!.ticks + unison[i]!.durationTicks).toBeLessThanOrEqual(note.ticks);
    });
    expect(unison.length).toBe(8);
    expect(unison.at(-1)!.duration).toBeGreaterThan(0.4);
  });

  it('the title, whose bytes are UTF-8 (this reader hands bytes on as they are)', () => {
    const { name } = new Midi(write(unitOf([{}])).bytes);
    expect(Buffer.from(name, 'latin1').toString('utf8')).toBe('Kiln Road ♯2');
  });

  it('the drums on channel 10 and the bass by its program, at their times', () => {
    const unit = unitOf([{ chords: [['G', 0]] }, { chords: [['C', 0]] }]);
    const { track, bytes } = write(unit, { band: {}, tempos: [120] });
    const { tracks } = new Midi(bytes);
    const drums = tracks.find((t) => t.name === 'Drums')!;
    const bass = tracks.find((t) => t.name === 'Bass')!;
    expect([drums.channel, bass.channel, bass.instrument.number]).toEqual([9, 15, 33]);
    const band = track.laps[0]!.band;
    const near = (times: readonly number[], ours: readonly { seconds: number }[]) => {
      expect(times).toHaveLength(ours.length);
      times.forEach((t, i) => expect(Math.abs(t - ours[i]!.seconds)).toBeLessThan(6e-4));
    };
    near(
      drums.notes.map((n) => n.time).toSorted((a, b) => a - b),
      band.drums,
    );
    near(
      bass.notes.map((n) => n.time),
      band.bass,
    );
    expect(bass.notes.map((n) => n.midi)).toEqual(band.bass.map((n) => n.midi));
    const raw = parseMidi(bytes).tracks.flat();
    const kicks = raw.filter((e) => e.type === 'noteOn' && e.channel === 9 && e.noteNumber === 36);
    expect(kicks).toHaveLength(band.drums.filter((hit) => hit.voice === 'kick').length);
  });
});
