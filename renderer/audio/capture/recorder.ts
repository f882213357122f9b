// Records a microphone into a sound file, stretch by stretch, by the browser's own recorder (MediaStream Recording, W3C).
import type { SoundKind } from '../../../app/core/exchange/recording.ts';
import type { Milliseconds } from '../../../app/core/base/units.ts';

export interface Recorder {
  readonly kind: SoundKind;
  readonly pause: () => void;
  readonly resume: () => void;
  /** Lets the microphone go; resolves when the last stretch was told. */
  readonly stop: () => Promise<void>;
}

export interface RecorderEars {
  /** Stretches in order, each to be put behind the one before. */
  readonly onStretch: (stretch: Blob) => void;
  /** The microphone went away, or the browser gave up. */
  readonly onBroken: () => void;
}

const TYPES: Readonly<Record<SoundKind, string>> = {
  webm: 'audio/webm;codecs=opus',
  ogg: 'audio/ogg;codecs=opus',
};
/** One channel in Opus, with some in reserve: RFC 7587 (3.1.1, from memory) has 48–64 kbit/s for music in mono. */
const BITS_PER_SECOND = 80_000;
/** So much is lost at most where everything ends at once. */
const STRETCH: Milliseconds = 2_000;

/** Which this browser can make; undefined where it makes none that is kept. */
export const recordedKind = (): SoundKind | undefined =>
  typeof MediaRecorder === 'undefined'
    ? undefined
    : (['webm', 'ogg'] as const).find((kind) => MediaRecorder.isTypeSupported(TYPES[kind]));

/** @throws Error where the browser refuses. */
export function startRecorder(
  stream: MediaStream,
  kind: SoundKind,
  { onStretch, onBroken }: RecorderEars,
): Recorder {
  const recorder = new MediaRecorder(stream, {
    mimeType: TYPES[kind],
    audioBitsPerSecond: BITS_PER_SECOND,
  });
  let wanted = true;
  const ended = new Promise<void>((done) => {
    recorder.addEventListener('stop', () => {
      for (const track of stream.getTracks()) track.stop();
      done();
      if (wanted) onBroken();
    });
  });
  recorder.addEventListener('dataavailable', ({ data }) => {
    if (data.size > 0) onStretch(data);
  });
  recorder.start(STRETCH);
  return {
    kind,
    pause: () => {
      if (recorder.state === 'recording') recorder.pause();
    },
    resume: () => {
      if (recorder.state === 'paused') recorder.resume();
    },
    stop: () => {
      wanted = false;
      if (recorder.state !== 'inactive') recorder.stop();
      return ended;
    },
  };
}
