// What the climb may ask of the audio engine: open it, hand it a whole lap, read its clock, hear of trouble.
import type { BandLap } from '../../app/core/band/model.ts';
import type { Result } from '../../app/core/base/result.ts';
import type { LeadTone } from '../../app/core/sound/lead/tones.ts';
import { type Levels, USUAL_LEVELS } from '../../app/core/sound/levels.ts';
import type { HeardClicks } from '../../app/core/sound/hits.ts';
import type { StringNote } from '../../app/core/sound/strum-notes.ts';
import type { Lap } from '../../app/core/timeline/model.ts';
import type { Gain, Seconds } from '../../app/core/base/units.ts';

/** Each level and that of the whole, 0 (silent) to 1 (as loud as the ceiling lets it be). */
export interface VoiceLevels extends Levels {
  readonly master: Gain;
}

/** The start is quiet on purpose: nobody knows what the headphones are set to. */
export const QUIET_LEVELS: VoiceLevels = { ...USUAL_LEVELS, master: 0.2 };

/** Why what is heard can no longer be trusted. All but 'underrun' call for a pause. */
export type PlayerTrouble =
  /** The system or the browser halted the audio (sleep, a call, a policy). */
  | { readonly kind: 'suspended' }
  /** The output device went away or changed. */
  | { readonly kind: 'device-lost' }
  /** The context says that it runs, but its clock has stood still. */
  | { readonly kind: 'clock-stopped' }
  /** The device ran out of samples for `lost` seconds at about `at` (audio clock): flag the take. */
  | { readonly kind: 'underrun'; readonly at: Seconds; readonly lost: Seconds };

/** What of a lap is to be heard. */
export interface LapSound {
  /** The default is all. */
  readonly click?: HeardClicks;
  /** The model guitar: what `strumNotes` made of this lap. Its level is {@link VoiceLevels.model}. */
  readonly model?: readonly StringNote[];
  /** Lead lines of this lap, one or several parts, at the same level: what `leadTones` made of them. */
  readonly lead?: readonly LeadTone[];
  /** Lead lines once more, each by the name of its part, so that one can be muted and the other kept. */
  readonly leads?: readonly { readonly part: string; readonly tones: readonly LeadTone[] }[];
  /** Do its members follow {@link Player.setMuted}? Else all of them are heard. */
  readonly mutable?: true;
  /** Drums and bass: what `bandOf` made of this lap. Call {@link Player.prepareBand} before. */
  readonly band?: BandLap;
}

/** A lap in the hands of the audio engine. Nothing on the main thread moves or drops it any more. */
export interface ScheduledLap {
  readonly lap: Lap;
  /** Audio time of the lap's start; later than asked for if that moment had already passed. */
  readonly startsAt: Seconds;
  /** Hand the next lap over with exactly this `at`, and nothing drifts. */
  readonly endsAt: Seconds;
  /** 0, or by how much the lap had to be moved because it came too late. */
  readonly movedBy: Seconds;
  /**
   * Silences what has not begun to sound by audio time `from` (default: now); what sounds already rings out.
   */
  cancel(from?: Seconds): void;
}

export interface Player {
  /**
   * Makes or resumes the context; call it from a user gesture. Louder than the ceiling is impossible.
   * Fails with 'no-audio-device' or 'audio-refused'.
   */
  open(): Promise<Result<void>>;
  /** The audio clock: 0 until opened; it stands still while suspended. */
  now(): Seconds;
  /** The audio clock less the output latency: what is being heard now, and what the eye must follow. */
  heardNow(): Seconds;
  /** The soonest `at` that {@link schedule} can keep. */
  earliest(): Seconds;
  /** Hands a whole lap over, to start at audio time `at`; every sound is rounded to a sample once. */
  schedule(lap: Lap, at: Seconds, sound?: LapSound): ScheduledLap;
  /**
   * Makes the strings that a model needs, a few at a time, so that scheduling it does not hold the
   * screen up. Needs an open player; without it {@link schedule} does the same in one go.
   */
  prepare(model: readonly StringNote[]): Promise<void>;
  /** Renders the band's sounds, once for good; a second or two the first time. Needs an open player. */
  prepareBand(): Promise<void>;
  /** Silences everything with a short fade (default 30 ms) and forgets what was scheduled. */
  stop(fade?: Seconds): void;
  /** Holds for sounds already scheduled, too. */
  setLevels(levels: VoiceLevels): void;
  /** In laps that let it: mutes members of the band: 'drums', 'bass', 'chords', 'click' (not the count-in), and parts of leads by name. */
  setMuted(members: ReadonlySet<string>): void;
  /** Returns the function that ends the listening. */
  onTrouble(listener: (trouble: PlayerTrouble) => void): () => void;
  /** The native context, for the ear's capture; undefined until opened. */
  context(): AudioContext | undefined;
  close(): Promise<void>;
}
