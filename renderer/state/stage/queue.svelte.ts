// A queue of climbs as the player fills it and lives through it; the rules are those of core/ladder/queue.ts.
import type { BreakClock } from '../../../app/core/ladder/break-clock.ts';
import { climbed } from '../../../app/core/ladder/climbed.ts';
import type { StopReason } from '../../../app/core/ladder/model.ts';
import {
  newQueue,
  type QueueEffect,
  type QueueEvent,
  type QueueState,
  stepQueue,
} from '../../../app/core/ladder/queue.ts';
import type { Bpm, Seconds } from '../../../app/core/base/units.ts';
import type { Climb } from '../climb/climb.svelte.ts';
import { isEntry, type QueueEntry } from './queue-entry.ts';

/** What the queue needs of the world, so that tests can give it another. */
export interface QueueAround {
  readonly now: () => Seconds;
  readonly newId: () => string;
  readonly breakEvery: () => number;
  /** Puts the climb on the stage; undefined if it could not begin (and why was said). */
  readonly start: (
    entry: QueueEntry,
    minutes: number,
    from: Bpm | null,
  ) => Promise<Climb | undefined>;
  /** Takes the climb off the stage. */
  readonly clear: () => Promise<void>;
  /** The window's break clock, which goes on counting after the queue. */
  readonly clock: () => BreakClock;
  readonly setClock: (clock: BreakClock) => void;
  /** What the queue held when the window was last open, and where it is kept until the next time. */
  readonly remembered: () => readonly QueueEntry[];
  readonly remember: (entries: readonly QueueEntry[]) => void;
}

/** Minutes of a new entry and of a turn (common practice, no source). */
const USUAL_MINUTES = 10;
const USUAL_TURN = 5;

export class PracticeQueue {
  readonly #around: QueueAround;
  #entries = $state.raw<readonly QueueEntry[]>([]);
  #state = $state.raw<QueueState | null>(null);
  #starting = false;
  rotate = $state(false);
  turnMinutes = $state(USUAL_TURN);

  readonly minutes: number = $derived(this.#entries.reduce((sum, e) => sum + e.minutes, 0));
  /** Is a queue being lived through? */
  readonly active: boolean = $derived(this.#state !== null && this.#state.phase !== 'ended');
  /** The sitting ended between two climbs because it hurts: the words of care are still to be read. */
  readonly hurts: boolean = $derived(this.#state?.ended === 'hurts');
  /** The climb that is on, or comes next. */
  readonly current: QueueEntry | undefined = $derived(
    this.#entries.find((e) => e.id === this.#state?.current),
  );

  constructor(around: QueueAround) {
    this.#around = around;
    this.#entries = around.remembered();
  }

  get entries(): readonly QueueEntry[] {
    return this.#entries;
  }
  get state(): QueueState | null {
    return this.#state;
  }

  add = (entry: Omit<QueueEntry, 'id' | 'minutes'> & { minutes?: number }): void => {
    const { chart, unit, rules } = entry;
    const kept: QueueEntry = {
      id: this.#around.newId(),
      chart: { id: chart.id, title: chart.title },
      unit: { key: unit.key, name: unit.name },
      minutes: Math.max(1, Math.round(entry.minutes ?? USUAL_MINUTES)),
      ...(rules && { rules }),
    };
    this.#hold([...this.#entries, kept]);
  };

  remove = (id: string): void => {
    this.#hold(this.#entries.filter((e) => e.id !== id));
  };

  give = (id: string, minutes: number): void => {
    this.#hold(this.#entries.map((e) => (e.id === id ? { ...e, minutes } : e)));
  };

  move = (index: number, by: -1 | 1): void => {
    const entries = [...this.#entries];
    const [entry] = entries.splice(index, 1);
    if (entry) entries.splice(index + by, 0, entry);
    this.#hold(entries);
  };

  clear = (): void => this.#hold([]);

  /** Begins with the first climb. Call it from a key or click. */
  begin = async (): Promise<void> => {
    if (this.active || this.#entries.length === 0) return;
    const { rotate, turnMinutes } = this;
    const rules = { rotate, turnMinutes, breakEvery: this.#around.breakEvery() };
    this.#state = newQueue(this.#entries, rules, this.#around.clock());
    await this.goOn();
  };

  /** Begins the next climb; an offered break is thereby declined. */
  goOn = async (): Promise<void> => {
    if (this.#starting) return;
    this.#starting = true;
    await this.#send({ kind: 'go-on', now: this.#around.now() });
    this.#starting = false;
  };

  takeBreak = (): Promise<void> => this.#send({ kind: 'take-break' });
  skip = (): Promise<void> => this.#send({ kind: 'skip' });
  /** Between climbs; a climb that is on is stopped by its own keys. */
  stop = (reason: 'player' | 'hurts'): Promise<void> => this.#send({ kind: 'stop', reason });

  /** Puts a sitting that has ended away. */
  dismiss = (): void => {
    if (!this.active) this.#state = null;
  };

  /** The queue as the player left it on another computer, unless one is being lived through; null where none was kept. */
  takeOver = (kept: readonly unknown[] | null): void => {
    if (kept !== null && !this.active) this.#entries = kept.filter(isEntry);
  };

  #hold(entries: readonly QueueEntry[]): void {
    this.#entries = entries;
    this.#around.remember(entries);
  }

  async #send(event: QueueEvent): Promise<void> {
    if (this.#state === null) return;
    const { state, effects } = stepQueue(this.#state, event);
    this.#state = state;
    this.#around.setClock(state.clock);
    for (const effect of effects) await this.#carryOut(effect);
  }

  async #carryOut(effect: QueueEffect): Promise<void> {
    if (effect.kind !== 'climb') return;
    const entry = this.#entries.find((e) => e.id === effect.id);
    const climb = entry && (await this.#around.start(entry, effect.minutes, effect.from));
    if (climb) this.#follow(climb);
    // Nothing was played: the entry is passed over, and what comes next waits for a key.
    else await this.#climbEnded('player', 0, effect.from ?? 0);
  }

  #follow(climb: Climb): void {
    const leave = (reason: StopReason): void => {
      const played = climbed(climb.state, this.#around.now());
      void this.#leave(reason, played, climb.bpm);
    };
    // It may have been stopped already, while its sound was being opened.
    const { finished } = climb.state;
    if (finished) return leave(finished.reason);
    const end = climb.onEffect((effect) => {
      if (effect.kind !== 'finished') return;
      end();
      leave(effect.reason);
    });
  }

  async #leave(reason: StopReason, played: Seconds, reached: Bpm): Promise<void> {
    await this.#climbEnded(reason, played, reached);
    // After "it hurts" the stage itself shows the words of care.
    if (reason === 'hurts') this.dismiss();
    else await this.#around.clear();
  }

  #climbEnded(reason: StopReason, played: Seconds, reached: Bpm): Promise<void> {
    return this.#send({ kind: 'climb-ended', reason, played, reached, now: this.#around.now() });
  }
}
