// MIDI bytes as a foot switch sends them, read by the MIDI 1.0 tables.
import { describe, expect, it } from 'vitest';
import { MidiEdges, readMidi } from '../../../../renderer/input/midi.ts';

describe('readMidi', () => {
  // MIDI 1.0: status 8n note off, 9n note on, Bn control change, Cn program change; 0–63 off, 64–127 on.
  it.each([
    ['control 64 at 127', [0xb0, 64, 127], { signal: 'cc:64', down: true, momentary: false }],
    [
      'control 64 at 64, channel 16',
      [0xbf, 64, 64],
      { signal: 'cc:64', down: true, momentary: false },
    ],
    ['control 64 at 63', [0xb0, 64, 63], { signal: 'cc:64', down: false, momentary: false }],
    ['note on', [0x90, 36, 1], { signal: 'note:36', down: true, momentary: false }],
    [
      'note on with velocity 0',
      [0x90, 36, 0],
      { signal: 'note:36', down: false, momentary: false },
    ],
    ['note off', [0x80, 36, 64], { signal: 'note:36', down: false, momentary: false }],
    ['program change', [0xc0, 3], { signal: 'program:3', down: true, momentary: true }],
  ])('%s', (_, bytes, expected) => {
    expect(readMidi(bytes)).toEqual(expected);
  });

  it.each([
    ['active sensing', [0xfe]],
    ['timing clock', [0xf8]],
    ['pitch bend', [0xe0, 0, 64]],
    ['nothing', []],
  ])('passes over %s', (_, bytes) => {
    expect(readMidi(bytes)).toBeUndefined();
  });
});

describe('MidiEdges', () => {
  const cc = (value: number) => readMidi([0xb0, 11, value])!;

  it('makes one edge of a pedal that sweeps through its values', () => {
    const edges = new MidiEdges();
    const sweep = [10, 40, 70, 100, 127, 90, 60, 20].flatMap((v, i) => edges.of('a', cc(v), i));
    expect(sweep.map((e) => [e.down, e.at])).toEqual([
      [true, 2],
      [false, 6],
    ]);
  });

  it('keeps two devices apart', () => {
    const edges = new MidiEdges();
    expect(edges.of('a', cc(127), 0)).toHaveLength(1);
    expect(edges.of('b', cc(127), 1)).toHaveLength(1);
    expect(edges.of('b', cc(127), 2)).toHaveLength(0);
  });

  it('gives a program change a release, for none follows', () => {
    expect(new MidiEdges().of('a', readMidi([0xc0, 1])!, 5).map((e) => e.down)).toEqual([
      true,
      false,
    ]);
  });

  it('releases what is pressed when a pedal is unplugged', () => {
    const edges = new MidiEdges();
    edges.of('a', cc(127), 0);
    expect(edges.unplugged('a', 9)).toEqual([{ signal: 'cc:11', down: false, at: 9 }]);
    expect(edges.unplugged('a', 9)).toEqual([]);
    expect(edges.of('a', cc(127), 20)).toHaveLength(1);
  });
});
