// Takes cut out of the microphone's sound: by their frames, with holes told, judged as the same sound in one piece.
import { describe, expect, it } from 'vitest';
import { expectationOf } from '../../../../../app/core/ear/expectation.ts';
import { listen } from '../../../../../app/core/ear/listener.ts';
import { mixGuitar } from '../../../../../app/core/sound/guitar.ts';
import { plucksAt } from '../../../../support/plucks.ts';
import { strumNotes } from '../../../../../app/core/sound/strum-notes.ts';
import type { Voicing } from '../../../../../app/core/units/hands/hands.ts';
import { buildLap } from '../../../../../app/core/timeline/lap.ts';
import { Listening } from '../../../../../renderer/audio/capture/listening.ts';
import { nextLevel, NO_SOUND } from '../../../../../renderer/audio/capture/level.ts';
import { levelWord, meterShare } from '../../../../../renderer/parts/ear/level-words.ts';
import { openingProblem } from '../../../../../renderer/audio/capture/problems.ts';
import { Tape } from '../../../../../renderer/audio/capture/tape.ts';
import type { HeardTake } from '../../../../../renderer/audio/capture/takes.ts';
import type { SoundBlock } from '../../../../../renderer/audio/capture/model.ts';
import { PLAIN, unitOf } from '../../../timeline/examples.ts';
import { NETWORK } from '../../../../support/network.ts';

const RATE = 48_000;
const VOICINGS: readonly Voicing[] = [
  [40, 47, 52, 55, 59, 64],
  [null, 45, 52, 57, 60, 64],
];
const unit = unitOf([{ chords: [['Em', 0]] }, { chords: [['Am', 0]] }]);
const lap = buildLap(unit, 120, PLAIN);
/** The lap begins 0.3 s into the take, and the take at this frame of the microphone. */
const START = 0.3;
const FRAME = 100_003;

function played(): Float32Array {
  const out = new Float32Array(Math.round((START + lap.end + 0.5) * RATE));
  mixGuitar(out, -START * RATE, strumNotes(lap, unit, VOICINGS), plucksAt(RATE));
  return out;
}

const expectation = expectationOf(lap, unit, START, { voicings: VOICINGS });
const take = (id: number, length: number) => ({
  id,
  from: FRAME,
  to: FRAME + length,
  job: { kind: 'chords' as const, expectation },
});

/** Hands the sound over in blocks of 1,000 frames, some of which may be left out. */
function feed(listening: Listening, sound: Float32Array, lost: (block: number) => boolean): void {
  for (let i = 0; i * 1000 < sound.length; i++) {
    if (!lost(i)) listening.block(FRAME - 500 + i * 1000, around(sound, i * 1000 - 500));
  }
}
const around = (sound: Float32Array, from: number) =>
  Float32Array.from({ length: 1000 }, (_, i) => sound[from + i] ?? 0);

describe('a take of the microphone’s sound', () => {
  it('is judged as the same sound in one piece', () => {
    const sound = played();
    const whole = listen(expectation, RATE, NETWORK);
    const expected = [...whole.push(sound), ...whole.finish()];
    const heard: HeardTake[] = [];
    const listening = new Listening(RATE, NETWORK, (one) => heard.push(one));
    listening.take(take(7, sound.length));
    feed(listening, sound, () => false);
    expect(heard).toMatchObject([{ id: 7, missing: 0, heard: { kind: 'chords' } }]);
    expect(heard[0]!.heard).toMatchObject({ changes: expected });
    expect(expected.map((c) => [c.to, c.chord])).toEqual([
      ['Em', 'right'],
      ['Am', 'right'],
    ]);
  });

  it('tells how much of it never came', () => {
    const sound = played();
    const heard: HeardTake[] = [];
    const listening = new Listening(RATE, NETWORK, (one) => heard.push(one));
    listening.take(take(1, sound.length));
    feed(listening, sound, (block) => block >= 10 && block < 34);
    expect(heard[0]!.missing).toBeCloseTo(24_000 / RATE, 6);
  });

  it('that was dropped is never told', () => {
    const sound = played();
    const heard: HeardTake[] = [];
    const listening = new Listening(RATE, NETWORK, (one) => heard.push(one));
    listening.take(take(1, sound.length));
    listening.drop(1);
    feed(listening, sound, () => false);
    expect(heard).toEqual([]);
  });
});

describe('a tape', () => {
  const microphone = () => {
    let tell: (block: SoundBlock) => void = () => {};
    let lose: () => void = () => {};
    const tape = new Tape({
      onBlock: (listener) => ((tell = listener), () => {}),
      onLost: (listener) => ((lose = () => listener(openingProblem('', ''))), () => {}),
    });
    return {
      tape,
      block: (frame: number, ...x: number[]) => tell({ frame, samples: Float32Array.from(x) }),
      lose: () => lose(),
    };
  };

  it('gives any stretch by its frames, holes as silence, once it has come', async () => {
    const { tape, block } = microphone();
    const asked = tape.between(11, 16);
    block(10, 1, 2, 3);
    block(15, 6, 7);
    expect([...(await asked)!]).toEqual([2, 3, 0, 0, 6]);
    expect(tape.range).toEqual([10, 17]);
  });

  it('gives nothing where the microphone went before', async () => {
    const { tape, block, lose } = microphone();
    const asked = tape.between(11, 16);
    block(10, 1, 2, 3);
    lose();
    expect(await asked).toBeUndefined();
  });
});

describe('the meter', () => {
  const after = (peak: number) => nextLevel(NO_SOUND, Float32Array.from([0, -peak, peak / 2]));

  it.each([
    [0, 'nothing'],
    [0.01, 'too soft'],
    [0.3, 'good'],
    [1, 'clipping'],
  ])('calls a peak of %d %s', (peak, word) => {
    expect(levelWord(after(peak))).toBe(word);
  });

  // The decibel: 20·log10 of the ratio, so a tenth is −20 dB, a third of the way down to −60 (definition).
  it('is a scale of decibels from −60 to 0', () => {
    expect(meterShare(after(1))).toBeCloseTo(1, 6);
    expect(meterShare(after(0.1))).toBeCloseTo(2 / 3, 6);
    expect(meterShare(after(0))).toBe(0);
  });

  it('sinks slowly and forgets clipping with it', () => {
    let level = after(1);
    for (let i = 0; i < 10; i++) level = nextLevel(level, new Float32Array(4));
    expect(level.clipping).toBe(false);
    expect(level.peak).toBeGreaterThan(0.2);
  });
});

describe('why a microphone does not open', () => {
  // Names of errors: W3C, Media Capture and Streams, getUserMedia().
  it.each([
    ['NotAllowedError', 'microphone-refused'],
    ['NotFoundError', 'no-microphone'],
    ['NotReadableError', 'microphone-busy'],
    ['OverconstrainedError', 'microphone-gone'],
  ])('%s is told as %s, with a cure', (name, code) => {
    const problem = openingProblem(name, 'Desk');
    expect(problem.code).toBe(code);
    expect(problem.cure).not.toBe('');
  });
});
