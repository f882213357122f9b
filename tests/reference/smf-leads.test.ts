// Lead lines in Standard MIDI Files, read by midi-file 1.2.4 and @tonejs/midi 2.0.28. Pitches are what
// MIDI 1.0 (from memory) makes of the messages: key + bend ÷ 8192 × the range that parameter 0,0 states.
import tonejsMidi from '@tonejs/midi';
import { type MidiEvent, parseMidi } from 'midi-file';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { sharedOut } from '../../app/core/exchange/midi/lead-channels.ts';
import { writeSmf } from '../../app/core/exchange/midi/write.ts';
import { pitchAt } from '../../app/core/sound/lead/tones.ts';
import { lineTrack } from '../unit/exchange/lead-unit.ts';

const TICKS = 960;

interface HeardNote {
  readonly channel: number;
  readonly velocity: number;
  readonly from: number;
  until: number;
  /** Tick and pitch, from the note's beginning on. */
  readonly pitches: { tick: number; pitch: number }[];
}

/** What a synthesiser would play of one track: every note with the pitch it has at each tick. */
function heardIn(events: readonly MidiEvent[]): readonly HeardNote[] {
  const notes: HeardNote[] = [];
  const state = Array.from({ length: 16 }, () => ({ parameter: [127, 127], range: 2, bend: 0 }));
  const keys = new Map<string, { note: HeardNote; key: number }>();
  let tick = 0;
  for (const event of events) {
    tick += event.deltaTime;
    if (event.type === 'controller') {
      const channel = state[event.channel]!;
      if (event.controllerType === 101) channel.parameter[0] = event.value;
      if (event.controllerType === 100) channel.parameter[1] = event.value;
      const isRange = channel.parameter.join() === '0,0';
      if (event.controllerType === 6 && isRange) channel.range = event.value;
    }
    if (event.type === 'pitchBend') {
      state[event.channel]!.bend = event.value;
      for (const { note, key } of keys.values()) {
        if (note.channel === event.channel) note.pitches.push({ tick, pitch: pitchOf(key, event.channel) }); // prettier-ignore
      }
    }
    if (event.type === 'noteOn') {
      const { channel, velocity, noteNumber: key } = event;
      const pitches = [{ tick, pitch: pitchOf(key, channel) }];
      const note = { channel, velocity, from: tick, until: Infinity, pitches };
      notes.push(note);
      keys.set(`${channel} ${key}`, { note, key });
    }
    if (event.type === 'noteOff') {
      const place = `${event.channel} ${event.noteNumber}`;
      keys.get(place)!.note.until = tick;
      keys.delete(place);
    }
  }
  expect(keys.size, 'keys never let go').toBe(0);
  return notes;

  function pitchOf(key: number, channel: number): number {
    return key + (state[channel]!.bend / 8192) * state[channel]!.range;
  }
}

const pitchIn = (note: HeardNote, tick: number): number =>
  note.pitches.findLast((told) => told.tick <= tick)!.pitch;

function leadPartsOf(parts: Readonly<Record<string, string>>, bpm = 60) {
  const track = lineTrack(parts, bpm);
  const bytes = writeSmf(track, 'Test');
  const tracks = parseMidi(bytes).tracks.filter((events) => named(events).startsWith('L: '));
  return { track, bytes, tracks, heard: tracks.map(heardIn) };
}

const named = (events: readonly MidiEvent[]): string =>
  events.find((event) => event.type === 'trackName')!.text;

describe('bends in cents', () => {
  // Arrivals: D4 (string 3, fret 7, MIDI 62) plus 1, 2 or 3 semitones, computed by equal temperament.
  it.each<[string, number, number]>([
    ['1 3/7b.5', 2, 63],
    ['1 3/7b1', 2, 64],
    ['1 3/7b1.5', 2, 65],
    ['1 3/7b1r', 2, 64],
    ['1 3/7b1r', 3.9, 62],
    ['2 3/5 /9', 2.1, 64],
    ['2 3/12 \\0', 2.1, 55],
    ['1 3/g5/7', 1, 62],
  ])('%s is at its pitch after %d s', (part, seconds, midi) => {
    const [note] = leadPartsOf({ One: part }).heard[0]!;
    expect(Math.abs(pitchIn(note!, seconds * TICKS) - midi) * 100).toBeLessThan(0.1);
  });

  it.each([
    ['a bend in an eighth at 170', '8 3/7b1 3/7b1.5 3/7b1r 3/7~ 2 r', 170],
    ['a slow bend with vibrato', '1 3/7b1.5r~', 40],
    ['a vibrato', '1 3/7~', 60],
  ])('%s stays within 3 cents of the curve at every tick', (_, part, bpm) => {
    const { track, heard } = leadPartsOf({ One: part }, bpm);
    const tones = track.laps[0]!.leads[0]!.tones;
    heard[0]!.forEach((note, i) => {
      for (let tick = note.from; tick < note.until; tick++) {
        const seconds = (tick / TICKS) * (60 / bpm);
        const ideal = pitchAt(tones[i]!, Math.max(seconds, tones[i]!.start));
        expect(Math.abs(pitchIn(note, tick) - ideal) * 100).toBeLessThanOrEqual(3);
      }
    });
  });

  it('@tonejs/midi reads the same arrival: 2 of 2 semitones is a full bend', () => {
    const { bytes } = leadPartsOf({ One: '1 3/7b1' });
    const { pitchBends, notes } = new tonejsMidi.Midi(bytes).tracks.find((t) => t.name === 'L: One')!; // prettier-ignore
    expect(notes.map((note) => note.midi)).toEqual([62]);
    expect(pitchBends.at(-1)!.value).toBeCloseTo(1, 3);
  });

  it('says a wider range where the usual two semitones do not reach', () => {
    const rangeOf = (part: string) =>
      leadPartsOf({ One: part }).tracks[0]!.flatMap((event) =>
        event.type === 'controller' && event.controllerType === 6 ? [event.value] : [],
      );
    expect(rangeOf('1 3/7b1')).toEqual([2]);
    expect(rangeOf('1 3/7b1.5')).toEqual([3]);
    expect(rangeOf('2 3/0 /12')).toEqual([12]);
  });
});

describe('notes', () => {
  it('hammer-ons and pull-offs are keys of their own, softer than the picked one', () => {
    const [notes] = leadPartsOf({ One: '4 3/5 h7 p5 3/7' }).heard;
    expect(notes!.map(({ pitches }) => pitches[0]!.pitch)).toEqual([60, 62, 60, 62]);
    const [picked, hammered, pulled, again] = notes!.map(({ velocity }) => velocity);
    expect(hammered).toBeLessThan(picked! * 0.7);
    expect(pulled).toBeLessThan(picked! * 0.7);
    expect(again).toBe(picked);
  });

  it('a muted note is a short one', () => {
    const [note] = leadPartsOf({ One: '1 5/x' }).heard[0]!;
    expect((note!.until - note!.from) / TICKS).toBeLessThan(0.1);
  });

  it('of two strings together only the bent one moves', () => {
    const [notes] = leadPartsOf({ One: '1 3/7b1+2/8' }).heard;
    const [bent, still] = notes!.toSorted((a, b) => a.pitches[0]!.pitch - b.pitches[0]!.pitch);
    expect(pitchIn(bent!, 2 * TICKS)).toBeCloseTo(64, 3);
    expect(pitchIn(still!, 2 * TICKS)).toBe(67);
  });

  it('parts have a track each', () => {
    const { tracks, heard } = leadPartsOf({ One: '1 3/7b1', Two: '1 2/8' });
    expect(tracks.map(named)).toEqual(['L: One', 'L: Two']);
    expect(pitchIn(heard[0]![0]!, 2 * TICKS)).toBeCloseTo(64, 3);
    expect(pitchIn(heard[1]![0]!, 2 * TICKS)).toBe(67);
  });
});

describe('any line', () => {
  const note = fc
    .tuple(
      fc.integer({ min: 1, max: 6 }),
      fc.integer({ min: 1, max: 12 }),
      fc.constantFrom('', 'b.5', 'b1', 'b1.5r', 'b1r~', '~', '^'),
    )
    .map(([string, fret, how]) => `${string}/${fret}${how}`);
  const entry = fc.oneof({ weight: 6, arbitrary: note }, fc.constantFrom('r', '-', '4/x'));
  // Only what sounds can be held.
  const bar = fc
    .tuple(note, fc.array(entry, { minLength: 7, maxLength: 7 }))
    .map(([first, rest]) => `8 ${[first, ...rest].join(' ')}`)
    .map((text) => text.replaceAll(/[rx]( -)+/g, (run) => run.replaceAll('-', 'r')));

  it('every key is let go, none sounds over another on its channel, each starts on its fret', () => {
    fc.assert(
      fc.property(bar, bar, fc.integer({ min: 40, max: 300 }), (one, two, bpm) => {
        const notes = leadPartsOf({ One: one, Two: two }, bpm).heard.flat();
        for (const [, played] of Map.groupBy(notes, ({ channel }) => channel)) {
          played
            .toSorted((a, b) => a.from - b.from)
            .forEach((now, i, all) => {
              expect(now.until).toBeLessThanOrEqual(all[i + 1]?.from ?? Infinity);
              const start = now.pitches[0]!.pitch;
              expect(Math.abs(start - Math.round(start))).toBeLessThan(0.001);
            });
        }
      }),
      { numRuns: 60 },
    );
  });
});

describe('channels', () => {
  const voice = (owner: string, on: number, off: number) => ({ owner, on, off });
  const channelsOf = (...voices: ReturnType<typeof voice>[]) =>
    sharedOut(voices).map(({ channel }) => channel);

  it('what sounds together is apart, and a string keeps its channel', () => {
    expect(
      channelsOf(voice('a', 0, 5), voice('b', 1, 9), voice('a', 5, 8), voice('b', 9, 10)),
    ).toEqual([0, 1, 0, 1]);
  });

  it('a fourteenth voice takes the channel of the first to end, and that one is cut', () => {
    const all = Array.from({ length: 14 }, (_, i) => voice(`s${i}`, i, i === 3 ? 50 : 100));
    const given = sharedOut(all);
    expect(given[13]!.channel).toBe(given[3]!.channel);
    expect(given[3]!.until).toBe(13);
    expect(given[4]!.until).toBe(Infinity);
  });
});
