// Recordings and rooms that go wrong: each gets a clear sentence, none an exception or a verdict out of nothing.
import fc from 'fast-check';
import wavefile from 'wavefile';
import { describe, expect, it } from 'vitest';
import { listen } from '../../app/core/ear/listener.ts';
import type { Expectation, ExpectedChord } from '../../app/core/ear/model.ts';
import { readTake } from '../../app/core/ear/take.ts';
import { passVerdict, USUAL_RULE } from '../../app/core/ear/verdict.ts';
import { findingsWords } from '../../app/core/ear/words.ts';
import { CHORDS, harmonics, strums, RATE } from '../unit/ear/sounds.ts';
import { NETWORK } from '../support/network.ts';

function written(depth: string, channels: number[][], rate = 44_100): Uint8Array {
  const file = new wavefile.WaveFile();
  file.fromScratch(channels.length, rate, depth, channels.length === 1 ? channels[0]! : channels);
  return file.toBuffer();
}

const ramp = Array.from({ length: 4410 }, (_, i) => (i % 100) * 100);

const codeOf = (bytes: Uint8Array): string => {
  const read = readTake(bytes, 'take.wav');
  return read.ok ? (read.value.remarks[0]?.code ?? 'fine') : read.problems[0]!.code;
};

describe('a file that is no good recording', () => {
  it.each([
    ['no bytes at all', new Uint8Array(0), 'take-not-wave'],
    [
      'a text',
      new TextEncoder().encode('RIFF is a word, this is a letter to you'),
      'take-not-wave',
    ],
    ['a header cut in two', written('16', [ramp]).subarray(0, 30), 'take-not-wave'],
    ['a header without sound', written('16', [ramp]).subarray(0, 44), 'take-empty'],
    ['a file cut off', written('16', [ramp]).subarray(0, 5001), 'take-truncated'],
    [
      'a 24-bit stereo file cut off',
      written('24', [ramp, ramp]).subarray(0, 5002),
      'take-truncated',
    ],
    ['a rate no recorder has', written('16', [ramp], 4000), 'take-rate'],
    ['compressed sound', compressed(), 'take-compressed'],
    ['over 20 minutes', lasting(1201), 'take-too-long'],
  ])('%s', (_, bytes, code) => {
    expect(codeOf(bytes)).toBe(code);
  });

  it('says where and what to do', () => {
    const read = readTake(new Uint8Array(3), 'take.wav');
    if (read.ok) throw new Error('read three bytes as a recording');
    expect(read.problems[0]!.message).toMatch(/^take\.wav /);
    expect(read.problems[0]!.cure).toMatch(/\.$/);
  });

  it('reads floats that are no numbers as silence', () => {
    const read = readTake(written('32f', [[0.5, NaN, Infinity, -0.5]]));
    expect(read.ok && Array.from(read.value.samples)).toEqual([0.5, 0, 0, -0.5]);
  });

  it('never throws, whatever the bytes', () => {
    const good = written('16', [ramp.slice(0, 50)]);
    fc.assert(
      fc.property(
        fc.array(fc.tuple(fc.nat(good.length - 1), fc.nat(255)), { maxLength: 6 }),
        fc.nat(good.length),
        (spoilt, length) => {
          const bytes = good.slice();
          for (const [at, value] of spoilt) bytes[at] = value;
          readTake(bytes.subarray(0, length));
        },
      ),
      { numRuns: 300 },
    );
  });
});

/** Made by hand, since the library would take its time: 8-bit silence at 8,000 samples a second. */
function lasting(seconds: number): Uint8Array {
  const bytes = Buffer.alloc(44 + 8000 * seconds, 128);
  bytes.set(written('8', [[128]], 8000).subarray(0, 40));
  bytes.writeUInt32LE(8000 * seconds, 40);
  return bytes;
}

function compressed(): Uint8Array {
  const file = new wavefile.WaveFile(written('16', [ramp], 8000));
  file.toIMAADPCM();
  return file.toBuffer();
}

const chord: ExpectedChord = {
  symbol: 'C',
  root: 0,
  pitchClasses: [0, 4, 7],
  lift: 0,
  strings: CHORDS.C,
};
const TIMES = [1, 2, 3, 4, 5];
const expectation: Expectation = {
  beat: 0.5,
  clicks: [],
  strokes: TIMES.map((at) => ({ at, direction: 'down', muted: false })),
  changes: TIMES.map((at, change) => ({
    bar: change,
    change,
    due: at,
    until: at + 1,
    from: null,
    to: chord,
    names: { from: '', to: 'C' },
    struck: true,
    sounds: true,
  })),
};

function heard(sound: Float32Array) {
  const listener = listen(expectation, RATE, NETWORK);
  const changes = [...listener.push(sound), ...listener.finish()];
  return {
    changes,
    codes: findingsWords(listener.findings).map((p) => p.code),
    verdict: passVerdict(changes, USUAL_RULE, 0.5).verdict,
  };
}

const played = (gain: number) =>
  strums(
    TIMES.map((at) => ({ at, notes: CHORDS.C })),
    6.5,
  ).map((v) => v * gain);

function detuned(cents: number): Float32Array {
  const out = new Float32Array(Math.round(6.5 * RATE));
  const strum = CHORDS.C.map((midi) => harmonics(midi, cents, 0.9, RATE));
  for (const at of TIMES) {
    for (const string of strum) string.forEach((v, i) => (out[at * RATE + i]! += v));
  }
  return out;
}

describe('a room or guitar that makes it hard', () => {
  it('hears nothing in silence, and never calls it clean', () => {
    expect(heard(new Float32Array(6 * RATE))).toMatchObject({
      codes: ['ear-silence'],
      verdict: 'missed',
    });
  });

  it('says that the guitar is too soft', () => {
    expect(heard(played(0.02)).codes).toEqual(['ear-too-soft']);
  });

  it('says that the recording is cut off at the top', () => {
    const clipped = played(8).map((v) => Math.max(-1, Math.min(1, v)));
    expect(heard(clipped).codes).toContain('ear-clipping');
  });

  it.each([-45, -30, 30, 45])('allows for a guitar %i cents off, and says so', (cents) => {
    const { codes, changes } = heard(detuned(cents));
    expect(codes).toEqual(['ear-detuned']);
    // The first change teaches the tuning; from the second on every one is heard in tune.
    expect(changes.slice(1).map((c) => c.chord)).toEqual(Array(4).fill('right'));
  });

  it('gives no verdict on sound that stops in the middle of the pass', () => {
    const { changes, verdict } = heard(played(1).subarray(0, Math.round(2.5 * RATE)));
    expect(changes).toHaveLength(5);
    expect(verdict).not.toBe('clean');
  });
});
