// The ear in the view: opens the microphone only while it is wanted, shows that it is open, and knows its delay.
import type { Problem, Result } from '../../../app/core/base/result.ts';
import type { IsoTime, Milliseconds, Seconds } from '../../../app/core/base/units.ts';
import type { Settings } from '../../../app/services/contract/contract.ts';
import type { Capture, DevicesInUse, Microphones, SoundBlock } from '../../audio/capture/model.ts';
import type { RoundTrip } from '../../audio/capture/latency/round-trip.ts';
import { BATCHES_SHOWN, NO_SOUND, nextLevel, type SoundLevel } from '../../audio/capture/level.ts';
import type { Player } from '../../audio/player.ts';
import { latencyOf } from '../../audio/clock.ts';

/** What the rest of the window gives the ear, so that tests can give it another. */
export interface EarSurroundings {
  readonly microphones: () => Promise<Microphones>;
  /** Opens the player; undefined after saying why it can't be. */
  readonly player: () => Promise<Player | undefined>;
  readonly measure: (
    context: AudioContext,
    capture: Capture,
    level: number,
  ) => Promise<Result<RoundTrip>>;
  readonly settings: () => Settings;
  readonly write: (patch: Partial<Settings>) => Promise<void>;
  readonly isoNow: () => IsoTime;
}

export interface KnownDelay {
  readonly milliseconds: Milliseconds;
  readonly measuredAt: IsoTime;
  /** What the browser said of the output's delay then. */
  readonly reported?: Milliseconds | undefined;
  /** Measured with the microphone as it is open now: input delay is drawn anew at each opening. */
  readonly thisOpening: boolean;
}

/** Of the input, where the browser does not tell: the middle of what was seen (12–24 ms, WAC 2025). */
const USUAL_INPUT: Seconds = 0.018;
/** The output's own delay, as the browser reports it, wanders by less than this while devices stay. Ours. */
const STEADY: Milliseconds = 20;

export class Ear {
  readonly #around: EarSurroundings;
  #capture = $state.raw<Capture | null>(null);
  #problems = $state.raw<readonly Problem[]>([]);
  #level = $state.raw<SoundLevel>(NO_SOUND);
  #loudness = NO_SOUND;
  #batches = 0;
  #measuring = $state(false);
  #trip = $state.raw<RoundTrip | null>(null);
  #microphones = $state.raw<readonly string[]>([]);
  #devices = $state.raw<DevicesInUse>({ output: '', mark: '' });
  /** Since the round trip was measured other devices may be in use; what is kept holds only under another name. */
  #changed = $state<false | 'other-name' | 'same-name'>(false);
  #context: AudioContext | undefined;
  #opening: Promise<Capture | undefined> | undefined;
  #leave: readonly (() => void)[] = [];

  constructor(around: EarSurroundings) {
    this.#around = around;
  }

  /** Is the microphone open? Shown wherever the player looks. */
  readonly open: boolean = $derived.by(() => this.#capture !== null);
  /** The round trip of the devices in use, if it was ever measured. */
  readonly known: KnownDelay | undefined = $derived.by(() => this.#known());

  get capture(): Capture | null {
    return this.#capture;
  }
  /** Why the microphone is not open although it was wanted, or what went wrong with the measurement. */
  get problems(): readonly Problem[] {
    return this.#problems;
  }
  get level(): SoundLevel {
    return this.#level;
  }
  get measuring(): boolean {
    return this.#measuring;
  }
  /** The measurement of this opening. */
  get trip(): RoundTrip | null {
    return this.#trip;
  }
  /** Labels that can be chosen, once the player has allowed a microphone. */
  get microphones(): readonly string[] {
    return this.#microphones;
  }
  /** Since the microphone was opened or the round trip measured, other devices came into use: ask again. */
  get devicesChanged(): boolean {
    return this.#changed !== false;
  }

  /** Opens the microphone from a key or click; undefined after noting why it can't be. */
  listen = (): Promise<Capture | undefined> => {
    if (this.#capture) return Promise.resolve(this.#capture);
    this.#opening ??= this.#open().finally(() => (this.#opening = undefined));
    return this.#opening;
  };

  /** Lets the microphone go. */
  release = (): void => {
    this.#capture?.close();
    this.#forget();
  };

  /** Another microphone: kept, and opened at once if one was open. */
  choose = async (label: string): Promise<void> => {
    const wasOpen = this.open;
    this.release();
    await this.#around.write({ inputDevice: label });
    if (wasOpen) await this.listen();
  };

  /** Plays the test sound and keeps the result for this pair of devices. The microphone opens for it if it must. */
  measure = async (): Promise<void> => {
    const capture = await this.listen();
    if (!capture || !this.#context || this.#measuring) return;
    this.#measuring = true;
    const found = await this.#around.measure(
      this.#context,
      capture,
      this.#around.settings().masterLevel,
    );
    this.#measuring = false;
    this.#problems = found.ok ? [] : found.problems;
    if (!found.ok) return;
    this.#trip = found.value;
    this.#changed = false;
    await this.#keep(found.value, this.#context);
  };

  /** The delay to reckon with, and whether it was measured: where not, lateness is relative. */
  roundTrip(): { readonly seconds: Seconds; readonly measured: boolean } {
    this.#noteDelay();
    const { known } = this;
    if (known) return { seconds: known.milliseconds / 1000, measured: true };
    const output = this.#context ? latencyOf(this.#context) : 0;
    return { seconds: output + USUAL_INPUT, measured: false };
  }

  async #open(): Promise<Capture | undefined> {
    const [microphones, player] = await Promise.all([
      this.#around.microphones(),
      this.#around.player(),
    ]);
    const context = player?.context();
    if (!player || !context) return undefined;
    const opened = await microphones.open(context, this.#around.settings().inputDevice);
    this.#problems = opened.ok ? [] : opened.problems;
    if (!opened.ok) return undefined;
    this.#context = context;
    this.#capture = opened.value;
    this.#leave = [
      opened.value.onBlock(this.#hear),
      opened.value.onLost(this.#lost),
      opened.value.onMuted(this.#muted),
      microphones.onDevicesChanged(context, () => void this.#lookAround(microphones, context)),
    ];
    await this.#lookAround(microphones, context);
    return opened.value;
  }

  /** Every batch counts, a few together are shown. */
  #hear = ({ samples }: SoundBlock): void => {
    this.#loudness = nextLevel(this.#loudness, samples);
    this.#batches += 1;
    if (this.#batches % BATCHES_SHOWN === 0) this.#level = this.#loudness;
  };

  #hearNothing(): void {
    this.#loudness = NO_SOUND;
    this.#level = NO_SOUND;
  }

  #lost = (problem: Problem): void => {
    this.#problems = [problem];
    this.#forget();
  };

  #muted = (problem: Problem | null): void => {
    this.#problems = problem ? [problem] : [];
    this.#hearNothing();
  };

  #forget(): void {
    for (const leave of this.#leave) leave();
    this.#leave = [];
    this.#capture = null;
    this.#trip = null;
    this.#changed = false;
    this.#devices = { output: '', mark: '' };
    this.#hearNothing();
  }

  async #lookAround(microphones: Microphones, context: AudioContext): Promise<void> {
    this.#microphones = await microphones.list();
    const before = this.#devices;
    const now = await microphones.inUse(context, this.#capture?.label ?? '');
    this.#devices = now;
    if (before.mark !== '' && now.mark !== before.mark) {
      this.#outdate(now.output === before.output ? 'same-name' : 'other-name');
    }
  }

  /** @param output is it called as when it was measured? */
  #outdate(output: 'same-name' | 'other-name'): void {
    this.#changed = output;
    this.#trip = null;
  }

  /** Headphones on the same socket are the same device to some systems: only the delay that they report is another. */
  #noteDelay(): void {
    const { known } = this;
    const reported = reportedBy(this.#context);
    if (reported === undefined || known?.reported === undefined) return;
    if (Math.abs(reported - known.reported) > STEADY) this.#outdate('same-name');
  }

  /** While the microphone is closed, the system's own choice and the output can only be guessed: as last time. */
  #known(): KnownDelay | undefined {
    const { latencies, inputDevice } = this.#around.settings();
    const { label } = this.#capture ?? {};
    const kept =
      label === undefined
        ? latencies.findLast((l) => inputDevice === '' || l.input === inputDevice)
        : latencies.find((l) => l.input === label && l.output === this.#devices.output);
    const holds = label === undefined || this.#changed !== 'same-name';
    return kept && holds ? { ...kept, thisOpening: this.#trip !== null } : undefined;
  }

  async #keep({ delay }: RoundTrip, context: AudioContext): Promise<void> {
    const pair = { input: this.#capture?.label ?? '', output: this.#devices.output };
    const others = this.#around
      .settings()
      .latencies.filter((l) => l.input !== pair.input || l.output !== pair.output);
    const reported = reportedBy(context);
    const kept = {
      ...{ ...pair, milliseconds: tenths(delay), measuredAt: this.#around.isoNow() },
      ...(reported !== undefined && { reported }),
    };
    await this.#around.write({ latencies: [...others, kept].slice(-100) });
  }
}

/** Nothing until the output has begun to sound, and where the browser does not tell. */
const reportedBy = (context: AudioContext | undefined): Milliseconds | undefined =>
  context?.outputLatency ? tenths(context.outputLatency) : undefined;

const tenths = (seconds: Seconds): Milliseconds => Math.round(seconds * 10_000) / 10;
