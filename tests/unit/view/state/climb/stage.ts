// A stage for the conductor's tests: a player whose clock is turned by hand, a machine side in memory, a unit.
import { chordOf } from '../../../../../app/core/harmony/read.ts';
import type { PlayedBar, Unit } from '../../../../../app/core/model/unit.ts';
import type { LadderRules } from '../../../../../app/core/ladder/model.ts';
import { rational } from '../../../../../app/core/base/rational.ts';
import { ok, unwrap, type Result } from '../../../../../app/core/base/result.ts';
import type { Lap, LapOptions } from '../../../../../app/core/timeline/model.ts';
import { fakeServices, type FakeServices } from '../../../../support/fake-services.ts';
import type { Player, PlayerTrouble, ScheduledLap } from '../../../../../renderer/audio/player.ts';
import type { ClimbSetup, Surroundings } from '../../../../../renderer/state/climb/surroundings.ts';
import type { LogEntry } from '../../../../../app/core/model/pass.ts';
import { PassRecorder } from '../../../../../renderer/state/log/pass-recorder.svelte.ts';
import { Climb } from '../../../../../renderer/state/climb/climb.svelte.ts';
import { PLAIN_RULES } from '../../../../support/plain-rules.ts';
import { STANDARD } from '../../../../../app/core/harmony/tunings.ts';

const meter = { numerator: 4, unit: 4, grouping: [1, 1, 1, 1] } as const;
const bar = (number: number, symbol: string): PlayedBar => ({
  section: 'Verse',
  bar: number,
  time: 1,
  meter,
  feel: { kind: 'straight' },
  tempo: { bpm: 120, beat: 'quarter' },
  length: rational(4),
  pickup: false,
  chords: [{ at: rational(0), chord: chordOf(symbol) }],
});

/** Two bars of 4/4. At 60 bpm: 4 s of count-in, 8 s of unit, 4 s of rest. */
export const unit: Unit = {
  key: 'section:Verse',
  ref: { kind: 'section', section: 'Verse' },
  name: 'Verse',
  bars: [bar(1, 'G'), bar(2, 'D')],
  tempo: { bpm: 120, beat: 'quarter' },
  tuning: STANDARD,
  capo: 0,
  fingerprint: 'f1',
};

const options: LapOptions = {
  countIn: 'one',
  restBars: 1,
  click: { kind: 'every-beat' },
  subdivision: 1,
  cueBeats: 1,
  markChanges: true,
};

/** The engine can still change what lies further ahead than this. */
const MARGIN = 0.05;

export class FakePlayer implements Player {
  clock = 0;
  latency = 0.02;
  refuses: Result<void> = ok(undefined);
  stops = 0;
  readonly laps: { lap: Lap; startsAt: number; cancelled: boolean }[] = [];
  readonly #listeners = new Set<(trouble: PlayerTrouble) => void>();

  open = async () => this.refuses;
  prepareBand = async () => {};
  setMuted = () => {};
  now = () => this.clock;
  heardNow = () => this.clock - this.latency;
  earliest = () => this.clock + MARGIN;
  schedule(lap: Lap, at: number): ScheduledLap {
    const startsAt = Math.max(at, this.earliest());
    const kept = { lap, startsAt, cancelled: false };
    this.laps.push(kept);
    return {
      lap,
      startsAt,
      endsAt: startsAt + lap.end,
      movedBy: startsAt - at,
      cancel: () => {
        kept.cancelled = true;
      },
    };
  }
  stop() {
    this.stops += 1;
    for (const kept of this.laps) kept.cancelled = true;
  }
  async prepare() {}
  setLevels() {}
  onTrouble(listener: (trouble: PlayerTrouble) => void) {
    this.#listeners.add(listener);
    return () => this.#listeners.delete(listener);
  }
  context = () => undefined;
  close = async () => {};

  trouble(trouble: PlayerTrouble) {
    for (const listener of this.#listeners) listener(trouble);
  }
  /** Laps that sound or are still to sound, with their tempos. */
  get kept() {
    return this.laps.filter((l) => !l.cancelled).map((l) => [l.lap.bpm, round(l.startsAt)]);
  }
}

const round = (seconds: number) => Math.round(seconds * 1000) / 1000;

/** A climb on rungs 60–100 of the unit above, with everything around it turned by hand. */
export class Stage {
  readonly player = new FakePlayer();
  readonly services: FakeServices;
  readonly recorder: PassRecorder;
  readonly climb: Climb;
  /** What the view's own log was told. */
  readonly kept: LogEntry[] = [];
  readonly timers: { wait: number; run: () => void }[] = [];
  #tick: (() => void) | undefined;
  #hide: (() => void) | undefined;
  #ids = 0;

  constructor(
    given: {
      rules?: Partial<LadderRules>;
      setup?: Partial<ClimbSetup>;
      answers?: Parameters<typeof fakeServices>[0] extends infer S | undefined
        ? S extends { answers?: infer A }
          ? A
          : never
        : never;
    } = {},
  ) {
    this.services = fakeServices({ ...(given.answers ? { answers: given.answers } : {}) });
    const setup: ClimbSetup = {
      chart: { id: 'c1', title: 'Harbour Lights' },
      unit,
      rules: { ...PLAIN_RULES, ...given.rules },
      options,
      session: 's1',
      cold: true,
      ...given.setup,
    };
    this.recorder = new PassRecorder({
      services: this.services,
      written: () => undefined,
      isoNow: () => '2031-04-05T18:20:00.000+02:00',
      later: (wait, run) => {
        const timer = { wait, run };
        this.timers.push(timer);
        return () => void this.timers.splice(this.timers.indexOf(timer), 1);
      },
      keep: (entries) => void this.kept.push(...entries),
    });
    this.climb = unwrap(Climb.create(setup, this.surroundings()));
  }

  surroundings(): Surroundings {
    return {
      player: this.player,
      services: this.services,
      now: () => this.player.clock,
      isoNow: () => '2031-04-05T18:20:00.000+02:00',
      newId: () => `id${++this.#ids}`,
      recorder: this.recorder,
      everyFrame: (tick) => {
        this.#tick = tick;
        return () => (this.#tick = undefined);
      },
      onHidden: (listener) => {
        this.#hide = listener;
        return () => (this.#hide = undefined);
      },
    };
  }

  /** Lets the audio clock run to `seconds`, one frame every 20 ms. */
  to(seconds: number): this {
    while (this.player.clock < seconds - 1e-9) {
      this.player.clock = Math.min(seconds, this.player.clock + 0.02);
      this.#tick?.();
    }
    return this;
  }

  /** The same with the main thread blocked until then. */
  stallTo(seconds: number): this {
    this.player.clock = seconds;
    this.#tick?.();
    return this;
  }

  hide(): void {
    this.#hide?.();
  }

  get watched(): boolean {
    return this.#tick !== undefined;
  }

  /** What the log holds: verdicts of passes, and of amendments as `→ verdict`. */
  get log(): string[] {
    return this.services.logged.map((e) =>
      e.kind === 'pass' ? `${e.pass.rung.bpm} ${e.pass.verdict}` : `→ ${e.amendment.verdict}`,
    );
  }
}

/** Lets promises that are already settled run their course. */
export const settled = () => new Promise((resolve) => setTimeout(resolve, 0));
