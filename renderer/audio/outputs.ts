// The loudspeakers and headphones of this machine: which there are, which one the sound goes to, and a test tone.
import { fail, ok, type Problem, type Result } from '../../app/core/base/result.ts';
import type { Gain, Hertz, Seconds } from '../../app/core/base/units.ts';

/** Names of the outputs; none while the browser keeps them to itself (before a microphone was allowed). */
export async function listOutputs(): Promise<readonly string[]> {
  const named = (await outputs()).filter(({ deviceId }) => deviceId !== 'default');
  return [...new Set(named.map(({ label }) => label))];
}

async function outputs(): Promise<readonly MediaDeviceInfo[]> {
  const media = navigator.mediaDevices as MediaDevices | undefined;
  const all = (await media?.enumerateDevices()) ?? [];
  return all.filter(({ kind, label }) => kind === 'audiooutput' && label !== '');
}

interface WithSink {
  setSinkId?: (id: string) => Promise<void>;
}

/** Sends the sound to the output of this name; '' is the system's usual one. Elsewhere it stays where it was. */
export async function sendTo(context: AudioContext, name: string): Promise<Result<null>> {
  const { setSinkId } = context as AudioContext & WithSink;
  if (!setSinkId) return name === '' ? ok(null) : fail(noChoice);
  const device = (await outputs()).find(({ label }) => label === name);
  if (name !== '' && !device) return fail(gone(name));
  try {
    await setSinkId.call(context, device?.deviceId ?? '');
    return ok(null);
  } catch {
    return fail(gone(name));
  }
}

const TONE: Hertz = 440;
const LENGTH: Seconds = 1;
/** −20 dBFS: plain to hear, far below the ceiling. */
const LOUDEST: Gain = 0.1;
const EDGE: Seconds = 0.02;

/** One second of an A at a low level. @param level 0 to 1, the program's own volume. */
export function testTone(context: AudioContext, level: Gain): void {
  const tone = new OscillatorNode(context, { frequency: TONE });
  const gain = new GainNode(context, { gain: 0 });
  const from = context.currentTime + 0.05;
  gain.gain
    .setValueAtTime(0, from)
    .linearRampToValueAtTime(LOUDEST * level, from + EDGE)
    .setValueAtTime(LOUDEST * level, from + LENGTH - EDGE)
    .linearRampToValueAtTime(0, from + LENGTH);
  tone.connect(gain).connect(context.destination);
  tone.start(from);
  tone.stop(from + LENGTH);
}

const gone = (name: string): Problem => ({
  code: 'output-gone',
  message: `The output ‘${name}’ is not there; the sound goes to the system’s usual one`,
  cure: 'Plug it in again, or choose another in Sound & care.',
});

const noChoice: Problem = {
  code: 'output-no-choice',
  message: 'This browser does not let the program choose an output',
  cure: 'Choose it in the system’s own sound settings.',
};
