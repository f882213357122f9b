// The player on a live audio context: laps become buffer sources at absolute times; no timer decides a sound.
import { type Result, fail, ok } from '../../app/core/base/result.ts';
import type { BandKit } from '../../app/core/band/model.ts';
import { Plucks } from '../../app/core/sound/guitar.ts';
import type { StringNote } from '../../app/core/sound/strum-notes.ts';
import { renderVoice } from '../../app/core/sound/voices.ts';
import type { Lap } from '../../app/core/timeline/model.ts';
import type { Milliseconds, SampleRate, Seconds } from '../../app/core/base/units.ts';
import { bandSounds } from './band-sounds.ts';
import { bandKit } from './band-kit.ts';
import { heardBy } from './clock.ts';
import { type Engine, buildEngine } from './engine.ts';
import {
  type ClickBuffers,
  type VoiceRenderer,
  clickBuffers,
  clickSounds,
} from './click-sounds.ts';
import { LapSources } from './lap-sources.ts';
import { leadSounds } from './lead-sounds.ts';
import { makePlucks, modelSounds } from './model-sounds.ts';
import {
  type LapSound,
  type Player,
  type PlayerTrouble,
  type ScheduledLap,
  type VoiceLevels,
  QUIET_LEVELS,
} from './player.ts';
import { watchForTrouble } from './trouble.ts';

export interface PlayerOptions {
  readonly levels?: VoiceLevels;
  /** What a click voice sounds like; tests put single samples here. */
  readonly voice?: VoiceRenderer;
  /** The band's sounds; tests put single samples here. */
  readonly kit?: KitMaker;
}

type KitMaker = (rate: SampleRate) => Promise<BandKit>;

/** Time to create a lap's sources and to pass them to the audio thread, with reserve. */
const LEAD: Seconds = 0.15;
/** A lap handed over later than this before its start is moved: its first clicks might be missed. */
const LATEST: Seconds = 0.05;
const STOP_FADE: Seconds = 0.03;
/** A context that has not begun to render by then is not going to. */
const OPEN_WITHIN: Milliseconds = 4_000;

/** What belongs to one context and goes with it. */
interface Session {
  readonly context: AudioContext;
  readonly engine: Engine;
  readonly buffers: ClickBuffers;
  readonly plucks: Plucks;
  kit: BandKit | undefined;
  readonly endWatch: () => void;
}

interface Running {
  readonly endsAt: Seconds;
  readonly sources: LapSources;
}

/** The player of this page; its sound is opened later, by a press. */
export function createPlayer(options: PlayerOptions = {}): Player {
  return new LivePlayer(options);
}

class LivePlayer implements Player {
  #levels: VoiceLevels;
  readonly #voice: VoiceRenderer;
  readonly #kit: KitMaker;
  readonly #listeners = new Set<(trouble: PlayerTrouble) => void>();
  #session: Session | undefined;
  #opening: Promise<Result<void>> | undefined;
  #running: Running[] = [];
  #muted: ReadonlySet<string> = new Set();
  /** The path is closed until then by a stop's fade. */
  #openFrom: Seconds = 0;

  constructor({ levels = QUIET_LEVELS, voice = renderVoice, kit = bandKit }: PlayerOptions) {
    this.#levels = levels;
    this.#voice = voice;
    this.#kit = kit;
  }

  /** Two quick presses of start share one opening. */
  open(): Promise<Result<void>> {
    this.#opening ??= this.#open().finally(() => (this.#opening = undefined));
    return this.#opening;
  }

  async #open(): Promise<Result<void>> {
    if (this.#session && (await comesAlive(this.#session.context))) return ok(undefined);
    await this.close();
    let context: AudioContext;
    try {
      context = new AudioContext({ latencyHint: 'balanced' });
    } catch (error) {
      return fail(noAudio(error));
    }
    if (!(await comesAlive(context))) {
      void context.close();
      return fail(refused(context));
    }
    this.#session = this.#sessionOn(context);
    return ok(undefined);
  }

  now = (): Seconds => this.#session?.context.currentTime ?? 0;

  heardNow = (): Seconds => (this.#session ? heardBy(this.#session.context) : 0);

  earliest = (): Seconds => Math.max(this.now() + LEAD, this.#openFrom);

  schedule(lap: Lap, at: Seconds, sound: LapSound = {}): ScheduledLap {
    const session = this.#session;
    if (!session) throw new Error('Player.schedule: open the player first');
    const sounds = soundsOf(session, lap, sound);
    // What took time to prepare is not taken from the time in hand.
    const startsAt = at < this.now() + LATEST ? this.earliest() : Math.max(at, this.#openFrom);
    const sources = new LapSources(session.engine, sounds, startsAt);
    const endsAt = startsAt + lap.end;
    this.#running = [...this.#running.filter((r) => r.endsAt > this.now()), { endsAt, sources }];
    return {
      lap,
      startsAt,
      endsAt,
      movedBy: startsAt - at,
      cancel: (from = this.now()) => sources.cancel(from),
    };
  }

  async prepare(model: readonly StringNote[]): Promise<void> {
    if (this.#session) await makePlucks(this.#session.plucks, model);
  }

  async prepareBand(): Promise<void> {
    const session = this.#session;
    if (session) session.kit ??= await this.#kit(session.context.sampleRate);
  }

  stop(fade: Seconds = STOP_FADE): void {
    if (!this.#session || this.now() < this.#openFrom) return;
    this.#openFrom = this.#session.engine.fadeOut(fade);
    for (const { sources } of this.#running) sources.end(this.now() + fade);
    this.#running = [];
  }

  setLevels(levels: VoiceLevels): void {
    this.#levels = levels;
    this.#session?.engine.setLevels(levels);
  }

  setMuted(members: ReadonlySet<string>): void {
    this.#muted = members;
    this.#session?.engine.setMuted(members);
  }

  onTrouble(listener: (trouble: PlayerTrouble) => void): () => void {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }

  context = (): AudioContext | undefined => this.#session?.context;

  async close(): Promise<void> {
    const session = this.#session;
    if (!session) return;
    this.#session = undefined;
    this.#running = [];
    this.#openFrom = 0;
    session.endWatch();
    session.engine.dispose();
    if (session.context.state !== 'closed') await session.context.close();
  }

  #sessionOn(context: AudioContext): Session {
    const engine = buildEngine(context, this.#levels);
    engine.setMuted(this.#muted);
    const tell = (trouble: PlayerTrouble) =>
      this.#listeners.forEach((listener) => listener(trouble));
    return {
      context,
      engine,
      buffers: clickBuffers(engine, this.#voice),
      plucks: new Plucks(context.sampleRate),
      kit: undefined,
      endWatch: watchForTrouble(context, tell),
    };
  }
}

function soundsOf({ engine, buffers, plucks, kit }: Session, lap: Lap, sound: LapSound) {
  const clicks = clickSounds(lap, buffers, sound.click);
  const model = modelSounds(engine, plucks, sound.model ?? []);
  const lead = leadSounds(engine, sound.lead ?? []);
  const leads = (sound.leads ?? []).flatMap(({ part, tones }) => leadSounds(engine, tones, part));
  if (sound.band && !kit) throw new Error('Player.schedule: prepare the band first');
  const band = sound.band && kit ? bandSounds(engine, kit, sound.band) : [];
  const all = [...clicks, ...model, ...lead, ...leads, ...band];
  const heard = sound.mutable ? all : all.map(({ member: _member, ...rest }) => rest);
  return heard.sort((a, b) => a.seconds - b.seconds);
}

/** Resumes a context and waits until its clock moves: a running state alone proves nothing. */
async function comesAlive(context: AudioContext): Promise<boolean> {
  if (context.state === 'closed') return false;
  const before = context.currentTime;
  // Without a gesture the promise never settles, so it is not waited for.
  context.resume().catch(() => {});
  const deadline = performance.now() + OPEN_WITHIN;
  while (performance.now() < deadline) {
    if (context.state === 'running' && context.currentTime > before) return true;
    await new Promise((next) => setTimeout(next, 10));
  }
  return false;
}

const noAudio = (error: unknown) => ({
  code: 'no-audio-device',
  message: `No sound output could be opened (${error instanceof Error ? error.message : 'unknown'}).`,
  cure: 'Connect headphones or a loudspeaker, then press start again.',
});

const refused = (context: AudioContext) => ({
  code: 'audio-refused',
  message: `The sound output did not start (it says “${context.state}”).`,
  cure: 'Press start once more; if it stays silent, check the output in the system’s sound settings.',
});
