// Keeps a recording of what is played, where the player asked for it: the sound is on disk seconds after it was heard.
import { fail, type Problem } from '../../../app/core/base/result.ts';
import type { Seconds } from '../../../app/core/base/units.ts';
import type { RecordingAbout } from '../../../app/core/exchange/recording.ts';
import { MAX_RECORDING } from '../../../app/core/model/limits.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type { recordedKind, startRecorder } from '../../audio/capture/recorder.ts';
import { type Recorder } from '../../audio/capture/recorder.ts';
import { toBase64 } from '../../page/base64.ts';
import type { Messages } from '../messages/messages.svelte.ts';

export interface RecorderAround {
  readonly services: Pick<Services, 'call'>;
  readonly messages: Pick<Messages, 'say' | 'refuse'>;
  /** A clock that only goes forward. */
  readonly now: () => Seconds;
  /** Calls `tick` about once a second until the returned function is called. */
  readonly everySecond: (tick: () => void) => () => void;
  readonly kind: typeof recordedKind;
  readonly start: typeof startRecorder;
  /** One was kept: lists are to be read anew. */
  readonly kept: () => void;
}

/** One that goes on. */
interface Going {
  readonly id: string;
  readonly recorder: Recorder;
  readonly leave: () => void;
  /** Bytes that were sent. */
  from: number;
  /** Resolves when all that came so far was sent. */
  sent: Promise<void>;
  /** The machine refused a stretch: nothing more is sent. */
  refused: boolean;
}

export class SoundRecorder {
  readonly #around: RecorderAround;
  /** The player's choice for this sitting; it is never remembered. */
  wanted = $state(false);
  #going = $state.raw<Going>();
  #paused = $state(false);
  #seconds = $state<Seconds>(0);
  #last = $state.raw<string>();
  #since: Seconds = 0;
  #before: Seconds = 0;

  constructor(around: RecorderAround) {
    this.#around = around;
  }

  get on(): boolean {
    return this.#going !== undefined;
  }
  get paused(): boolean {
    return this.#paused;
  }
  /** Recorded so far, without pauses. */
  get seconds(): Seconds {
    return this.#seconds;
  }
  /** The recording of the last run that had one. */
  get last(): string | undefined {
    return this.#last;
  }

  /** Takes the stream and ends it; where it cannot be recorded, that is said, and the song goes on without. */
  begin = async (stream: MediaStream, about: RecordingAbout): Promise<void> => {
    const { services, messages, kind: known, start, everySecond } = this.#around;
    this.#last = undefined;
    const refuse = (problems: readonly Problem[]): void => {
      for (const track of stream.getTracks()) track.stop();
      messages.refuse(problems);
    };
    const kind = known();
    if (!kind) return refuse([cannotRecord]);
    const begun = await services
      .call('recordings.begin', { about, kind })
      .catch((error: unknown) => fail(notKept(error)));
    if (!begun.ok) return refuse(begun.problems);
    const { id } = begun.value.note;
    try {
      const recorder = start(stream, kind, {
        onStretch: (stretch) => this.#send(going, stretch),
        onBroken: () => void this.#endWith(going, microphoneGone),
      });
      const going: Going = {
        ...{ id, recorder, leave: everySecond(this.#tick) },
        ...{ from: 0, sent: Promise.resolve(), refused: false },
      };
      [this.#since, this.#before, this.#seconds] = [this.#around.now(), 0, 0];
      this.#paused = false;
      this.#going = going;
    } catch (error) {
      refuse([notKept(error)]);
      await services.call('recordings.remove', { id });
    }
  };

  pause = (): void => {
    if (!this.#going || this.#paused) return;
    this.#going.recorder.pause();
    this.#before = this.#length;
    this.#paused = true;
  };

  resume = (): void => {
    if (!this.#going || !this.#paused) return;
    this.#going.recorder.resume();
    this.#since = this.#around.now();
    this.#paused = false;
  };

  /** Ends it, if one goes on; it is kept. @param tempo what it was played at, where that is known only now */
  end = async (tempo?: RecordingAbout['tempo']): Promise<void> => {
    const going = this.#going;
    if (!going) return;
    const seconds = this.#length;
    this.#going = undefined;
    going.leave();
    await going.recorder.stop();
    await going.sent;
    const { services, messages, kept } = this.#around;
    try {
      const ended = await services.call('recordings.end', {
        id: going.id,
        seconds,
        ...(tempo && { tempo }),
      });
      if (ended.ok) this.#last = going.id;
      else messages.refuse(ended.problems);
    } catch (error) {
      messages.refuse([notKept(error)]);
    }
    kept();
  };

  #tick = (): void => {
    this.#seconds = this.#length;
    if (this.#going && this.#length >= MAX_RECORDING) void this.#endWith(this.#going, longEnough);
  };

  get #length(): Seconds {
    return this.#before + (this.#paused ? 0 : this.#around.now() - this.#since);
  }

  async #endWith(going: Going, problem: Problem): Promise<void> {
    if (this.#going !== going) return;
    this.#around.messages.refuse([problem]);
    await this.end();
  }

  /** One after the other, in order. */
  #send(going: Going, stretch: Blob): void {
    going.sent = going.sent.then(async () => {
      if (going.refused) return;
      const bytes = new Uint8Array(await stretch.arrayBuffer());
      try {
        const { id, from } = going;
        const part = { id, from, base64: toBase64(bytes) };
        const added = await this.#around.services.call('recordings.add', part);
        going.from += bytes.length;
        if (!added.ok) this.#refused(going, added.problems);
      } catch (error) {
        this.#refused(going, [notKept(error)]);
      }
    });
  }

  #refused(going: Going, problems: readonly Problem[]): void {
    going.refused = true;
    this.#around.messages.refuse(problems);
    if (this.#going === going) void this.end();
  }
}

const cannotRecord: Problem = {
  code: 'recorder-missing',
  message: 'This browser makes no recordings that can be kept, so nothing is recorded',
  cure: 'Use another browser, or the window of the program itself.',
};

const microphoneGone: Problem = {
  code: 'recorder-broken',
  message: 'The microphone went away, so the recording ended',
  cure: 'What was recorded is kept. Plug it in again for the next one.',
};

const longEnough: Problem = {
  code: 'recording-long',
  message: `The recording ended after ${MAX_RECORDING / 60} minutes, the most that one may have`,
  cure: 'It is kept, and the music goes on.',
};

const notKept = (error: unknown): Problem => ({
  code: 'recording-not-kept',
  message: `The recording can't be kept: ${error instanceof Error ? error.message : 'the program behind this window does not answer'}`,
  cure: 'What was recorded before is kept, and your passes are logged as always.',
});
