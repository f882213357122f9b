// One pass of a climb, recorded where the player asks for it: from the bars before it until its last chord has rung.
import type { Bpm, Milliseconds } from '../../../app/core/base/units.ts';
import type { RecordingAbout } from '../../../app/core/exchange/recording.ts';
import type { Climb } from '../climb/climb.svelte.ts';
import type { Ear } from '../ear/ear.svelte.ts';
import type { Hearing } from '../ear/hearing.svelte.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import type { SoundRecorder } from './sound-recorder.svelte.ts';

export interface PassRecordingAround {
  readonly ear: Pick<Ear, 'listen' | 'problems'>;
  readonly hearing: Pick<Hearing, 'rest'>;
  readonly settings: Pick<PlayerSettings, 'now'>;
  readonly messages: Pick<Messages, 'say' | 'refuse'>;
  readonly recorder: SoundRecorder;
  readonly later: (wait: Milliseconds, action: () => void) => () => void;
}

/** What of a climb is looked at. */
export type Followed = Pick<Climb, 'id' | 'phase' | 'setup' | 'bpm' | 'passId'>;

/** What is heard of it now; none while it is silent. */
export interface HeardPart {
  readonly part: 'count-in' | 'unit' | 'rest';
  readonly pass: number;
  readonly bpm: Bpm;
}

interface Going {
  readonly climb: string;
  readonly number: number;
  /** As it is heard: a verdict in the bars before it may still move the rung. */
  readonly tempo: RecordingAbout['tempo'];
}

/** The last chord rings on for this long. */
const RINGS: Milliseconds = 1_500;

export class PassRecording {
  readonly #around: PassRecordingAround;
  /** The player's choice for the next pass; it is never remembered, and holds for one pass. */
  #wanted = $state(false);
  /** The open microphone that waits for the pass. */
  #stream: MediaStream | undefined;
  #opening = false;
  /** The pass that sounded when it was asked for: it is too late for that one. */
  #tooLate: number | undefined;
  /** The pass that is being recorded, and of which climb. */
  #pass: Going | undefined;
  #callOff: (() => void) | undefined;

  constructor(around: PassRecordingAround) {
    this.#around = around;
  }

  get wanted(): boolean {
    return this.#wanted;
  }
  get recorder(): SoundRecorder {
    return this.#around.recorder;
  }

  /** In the set-up: the microphone opens once the climb begins. */
  want = (on: boolean): void => {
    this.#wanted = on;
    if (!on) this.#letGo();
  };

  /** On the stage: ends a recording that goes on, else opens the microphone for the next pass, or calls that off. */
  toggle = async (sounding: HeardPart | undefined): Promise<void> => {
    const { messages, recorder } = this.#around;
    if (recorder.on) return recorder.end();
    if (this.#wanted) {
      this.want(false);
      return messages.say(CALLED_OFF);
    }
    this.#tooLate = sounding?.part === 'unit' ? sounding.pass : undefined;
    this.#wanted = true;
    if (await this.#openMicrophone()) messages.say(NEXT);
  };

  /** Follows what sounds: begins, pauses and ends the recording. */
  follow = (climb: Followed, sounding: HeardPart | undefined): void => {
    if (this.#pass) return this.#goOn(climb, sounding);
    if (!this.#wanted) return;
    if (climb.phase === 'finished') return this.want(false);
    if (!this.#stream) return void this.#openMicrophone();
    if (!sounding) return;
    const { part, pass } = sounding;
    if (part === 'unit' && pass === this.#tooLate) return;
    this.#begin(climb, part === 'rest' ? pass + 1 : pass);
  };

  /** The stage is left: what was recorded is kept. */
  leave = (): void => {
    this.want(false);
    this.#end();
  };

  #goOn(climb: Followed, sounding: HeardPart | undefined): void {
    const { climb: id, number, tempo } = this.#pass!;
    const { recorder } = this.#around;
    if (climb.id !== id) return recorder.pause();
    const { phase } = climb;
    const heard =
      sounding &&
      (sounding.pass > number || (sounding.pass === number && sounding.part === 'rest'));
    if (phase === 'finished' || heard) return this.#endSoon();
    if (!sounding) return recorder.pause();
    if (sounding.pass === number) {
      this.#pass = { ...this.#pass!, tempo: { ...tempo, bpm: sounding.bpm } };
    }
    recorder.resume();
  }

  async #openMicrophone(): Promise<boolean> {
    if (this.#stream || this.#opening) return this.#stream !== undefined;
    const { ear, hearing, messages, settings } = this.#around;
    this.#opening = true;
    const capture = await ear.listen();
    this.#opening = false;
    if (!capture) {
      this.#wanted = false;
      messages.refuse(ear.problems);
      return false;
    }
    if (this.#wanted) this.#stream = capture.branch();
    // Opened for this alone, where the ear does not listen.
    if (!settings.now.ear.on) hearing.rest();
    return this.#wanted;
  }

  #begin(climb: Followed, number: number): void {
    const stream = this.#stream!;
    this.#stream = undefined;
    this.#wanted = false;
    this.#tooLate = undefined;
    const about = aboutOf(climb, number);
    this.#pass = { climb: climb.id, number, tempo: about.tempo };
    void this.#around.recorder.begin(stream, about).then(() => {
      // Refused, which has been said; or it ended before it began.
      if (!this.#around.recorder.on) this.#pass = undefined;
    });
  }

  #endSoon(): void {
    this.#callOff ??= this.#around.later(RINGS, () => this.#end());
  }

  #end(): void {
    this.#callOff?.();
    this.#callOff = undefined;
    const pass = this.#pass;
    this.#pass = undefined;
    if (!pass) return;
    void this.#around.recorder.end(pass.tempo).then(() => {
      if (this.#around.recorder.last !== undefined) this.#around.messages.say(kept(pass.number));
    });
  }

  #letGo(): void {
    for (const track of this.#stream?.getTracks() ?? []) track.stop();
    this.#stream = undefined;
    this.#tooLate = undefined;
  }
}

function aboutOf({ id, setup, bpm, passId }: Followed, number: number): RecordingAbout {
  const { chart, unit, rules } = setup;
  return {
    ...{ chart, unit: { key: unit.key, name: unit.name }, climb: id, pass: passId(number) },
    tempo: { bpm, beat: rules.beat },
  };
}

const NEXT = 'The next pass will be recorded. Others can be heard, too: ask them first.';
const CALLED_OFF = 'The next pass will not be recorded.';
const kept = (pass: number): string => `Pass ${pass} was recorded. It is kept in History.`;
