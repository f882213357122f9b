// Takes of the model guitar with known truth: what was played right is told right, what was not is told so.
import { describe, expect, it } from 'vitest';
import { listen } from '../../../app/core/ear/listener.ts';
import type { Expectation, ExpectedChord } from '../../../app/core/ear/model.ts';
import { NETWORK } from '../../support/network.ts';
import type { ChangeHeard } from '../../../app/core/model/pass.ts';
import { CHORDS, type Strum, add, strums, RATE } from './sounds.ts';

const chord = (symbol: keyof typeof CHORDS): ExpectedChord => {
  const notes = CHORDS[symbol];
  const pitchClasses = [...new Set(notes.map((m) => m % 12))];
  return { symbol, root: notes[0] % 12, pitchClasses, lift: 0, strings: notes };
};

const SYMBOLS = ['C', 'Am', 'G', 'C'] as const;
const BEAT = 0.5;
const START = 1;
/** Four chords of two beats, a down-stroke on each beat. */
const expectation: Expectation = {
  beat: BEAT,
  clicks: [],
  strokes: Array.from({ length: 8 }, (_, i) => ({
    at: START + i * BEAT,
    direction: 'down' as const,
    muted: false,
  })),
  changes: SYMBOLS.map((symbol, i) => {
    const from = SYMBOLS[i - 1];
    return {
      bar: i >> 1,
      change: i,
      due: START + 2 * i * BEAT,
      until: START + 2 * (i + 1) * BEAT,
      from: from ? chord(from) : null,
      to: chord(symbol),
      names: { from: from ?? '', to: symbol },
      struck: true,
      sounds: true,
    };
  }),
};

/** As due, but for what `spoil` makes of a stroke. */
function play(spoil: (strum: Strum, beat: number) => Strum | null = (s) => s): Float32Array {
  const due = Array.from({ length: 8 }, (_, i): Strum => {
    return { at: START + i * BEAT, notes: CHORDS[SYMBOLS[i >> 1]!] };
  });
  return strums(
    due.flatMap((s, i) => spoil(s, i) ?? []),
    START + 8 * BEAT + 0.5,
  );
}

function hear(sound: Float32Array, block = 1024) {
  const listener = listen(expectation, RATE, NETWORK);
  const changes: ChangeHeard[] = [];
  for (let at = 0; at < sound.length; at += block) {
    changes.push(...listener.push(sound.subarray(at, at + block)));
  }
  return { changes: [...changes, ...listener.finish()], listener };
}

const told = (sound: Float32Array) => hear(sound).changes.map((c) => c.chord);

describe('listen', () => {
  it('accepts what is played as written, within 10 ms of its time', () => {
    const { changes } = hear(play());
    expect(changes.map((c) => c.chord)).toEqual(['right', 'right', 'right', 'right']);
    for (const change of changes) expect(Math.abs(change.offset!)).toBeLessThan(10);
  });

  it('tells a late change by how much it was late', () => {
    const { changes } = hear(play((s, beat) => (beat === 2 ? { ...s, at: s.at + 0.12 } : s)));
    expect(changes[1]).toMatchObject({ chord: 'right', timing: 'late' });
    expect(Math.abs(changes[1]!.offset! - 120)).toBeLessThan(10);
  });

  it('tells the old chord held on', () => {
    const held = play((s, beat) => (beat === 4 || beat === 5 ? { ...s, notes: CHORDS.Am } : s));
    expect(told(held)).toEqual(['right', 'right', 'held', 'right']);
  });

  it('tells major for minor, and names it', () => {
    const { changes } = hear(play((s, b) => (b === 2 || b === 3 ? { ...s, notes: CHORDS.A } : s)));
    expect(changes[1]).toMatchObject({ chord: 'other', heard: 'A' });
  });

  describe('where an up-stroke brings the chord', () => {
    const upwards = (direction: 'up' | 'down'): Expectation => ({
      ...expectation,
      strokes: expectation.strokes.map((s, i) => (i === 2 ? { ...s, direction } : s)),
    });
    const highest = (of: Strum): Strum => ({ ...of, notes: of.notes.slice(-4).toReversed() });
    const toldOf = (sound: Float32Array, direction: 'up' | 'down') => {
      const listener = listen(upwards(direction), RATE, NETWORK);
      return [...listener.push(sound), ...listener.finish()].map((c) => c.chord);
    };

    it('does not miss the lowest strings, which it leaves out', () => {
      const sound = play((s, beat) => (beat === 2 ? highest(s) : s));
      expect(toldOf(sound, 'up')).toEqual(['right', 'right', 'right', 'right']);
    });

    it('still hears another chord', () => {
      const sound = play((s, beat) =>
        beat === 2
          ? highest({ ...s, notes: CHORDS.A })
          : beat === 3
            ? { ...s, notes: CHORDS.A }
            : s,
      );
      expect(toldOf(sound, 'up')[1]).toBe('other');
    });
  });

  it('tells muted strings and silence apart', () => {
    const spoilt = play((s, beat) => {
      if (beat === 2 || beat === 3) return { ...s, muted: true };
      return beat === 4 || beat === 5 ? null : s;
    });
    expect(told(spoilt)).toEqual(['right', 'muted', 'silent', 'right']);
  });

  it('says the same however the sound is cut into blocks', () => {
    const sound = play();
    expect(hear(sound, 128).changes).toEqual(hear(sound, sound.length).changes);
  });

  it('answers for each change soon after its time is over', () => {
    const listener = listen(expectation, RATE, NETWORK);
    const sound = play();
    const end = expectation.changes[0]!.until;
    const until = (seconds: number) => Math.round(seconds * RATE);
    expect(listener.push(sound.subarray(0, until(end)))).toEqual([]);
    expect(listener.push(sound.subarray(until(end), until(end + 0.15)))).toHaveLength(1);
  });

  it('notices a guitar two frets higher than the chart says', () => {
    const higher = play((s) => ({ ...s, notes: s.notes.map((m) => m + 2) }));
    expect(hear(higher).listener.findings.shift).toBe(2);
  });

  it('says nothing was played of silence, and finds nothing in noise alone', () => {
    expect(told(new Float32Array(RATE * 5))).toEqual(Array(4).fill('silent'));
    let state = 1;
    const noise = new Float32Array(RATE * 5).map(() => {
      state = (state * 1103515245 + 12345) % 2147483648;
      return 0.02 * (state / 1073741824 - 1);
    });
    expect(told(noise)).not.toContain('right');
    expect(
      told(
        add(
          play(),
          noise.map((v) => v / 10),
        ),
      ),
    ).toEqual(Array(4).fill('right'));
  });
});
