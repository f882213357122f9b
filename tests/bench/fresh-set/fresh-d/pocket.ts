// Guitars of the synthesizer that telephones carried: short recorded waves that go round, from Debian's libsonivox3.
import { execFileSync } from 'node:child_process';
import { fileURLToPath } from 'node:url';
import type { Midi, Samples } from '../../../../app/core/base/units.ts';
import { BANK_RATE, type StringModel } from '../../ear-set/bank.ts';

const SCRIPT = fileURLToPath(new URL('pocket.py', import.meta.url));
const LOWEST: Midi = 36;
const HIGHEST: Midi = 90;
const SPACING: Samples = 4 * BANK_RATE;
const PITCHES = HIGHEST - LOWEST + 1;
/** Bytes that come back at once: seven minutes. */
const MOST = 2 ** 28;

/** @param program General MIDI 1, from 0. @throws Error naming the Debian package where a note is asked for and it is missing. */
export function pocketGuitar(program: number): StringModel {
  let notes: Float32Array | undefined;
  return (midi, soft, length) => {
    notes ??= rendered(program);
    const from = (midi - LOWEST + (soft ? 0 : PITCHES)) * SPACING;
    return notes.slice(from, from + length).map((x) => 0.5 * x);
  };
}

/** Everything the library plays, at {@link BANK_RATE}. */
function rendered(program: number): Float32Array {
  const raw = played([SCRIPT, program, LOWEST, HIGHEST].map(String));
  const from = '-t raw -r 22050 -e signed -b 16 -c 2 -'.split(' ');
  const to = `-t raw -r ${BANK_RATE} -e float -b 32 -c 1 -`.split(' ');
  const input = { input: raw, maxBuffer: MOST };
  const bytes = execFileSync('sox', [...from, ...to], {
    ...input,
    stdio: ['pipe', 'pipe', 'ignore'],
  });
  return new Float32Array(bytes.length >> 2).map((_, i) => bytes.readFloatLE(4 * i));
}

function played(script: readonly string[]): Buffer {
  try {
    return execFileSync('python3', script, {
      maxBuffer: MOST,
      stdio: ['ignore', 'pipe', 'ignore'],
    });
  } catch (cause) {
    throw new Error("python3 or libsonivox.so.3 is missing: install Debian's libsonivox3", {
      cause,
    });
  }
}
