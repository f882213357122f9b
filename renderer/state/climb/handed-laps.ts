// The laps of a climb in the player's hands: each is handed over in time, and told as it is heard.
import type { Bpm, Seconds } from '../../../app/core/base/units.ts';
import type { Lap } from '../../../app/core/timeline/model.ts';
import type { Player } from '../../audio/player.ts';
import { type HeardPlace, LapTrack, type Report, type TrackedLap } from './lap-track.ts';
import { LapMaker } from './laps.ts';
import { Listeners } from './listeners.ts';
import type { ClimbSetup } from './surroundings.ts';

/** Room between now and the first click, so that the context has settled (common practice, no source). */
const LEAD: Seconds = 0.15;
/** Of a stop or a pause. */
const FADE: Seconds = 0.03;

/** What a lap is played for. */
type LapOf = Pick<TrackedLap, 'pass' | 'rung' | 'bpm'>;

export class HandedLaps {
  readonly #laps: LapMaker;
  readonly #sound: ClimbSetup['sound'];
  readonly #player: Player;
  readonly #track = new LapTrack();
  readonly #handed = new Listeners<TrackedLap>();

  constructor({ unit, options, sound }: ClimbSetup, restBars: number, player: Player) {
    this.#laps = new LapMaker(unit, options, restBars);
    this.#sound = sound;
    this.#player = player;
  }

  /** Hears of every lap as soon as it is handed to the player. */
  onLap = (listener: (lap: TrackedLap) => void): (() => void) => this.#handed.add(listener);

  /** What is heard now; none while silent. */
  get place(): HeardPlace | undefined {
    return this.#track.place(this.#player.heardNow());
  }

  /** Bar of the unit that is heard now, from 0; in a count-in the one it leads to. */
  get bar(): number {
    const { place } = this;
    return place?.unitBar ?? (place?.part === 'count-in' ? place.lap.fromBar : 0);
  }

  /** Did the audio fail inside the unit of the lap that sounds? */
  get underrun(): boolean {
    return this.#track.underrun;
  }

  /** Begins out of silence at this bar of the unit. */
  play(lapOf: LapOf, fromBar: number): void {
    const lap = this.#laps.first(lapOf.bpm, fromBar);
    this.#track.start(this.#hand(lapOf, fromBar, lap, this.#player.earliest() + LEAD));
  }

  /** Has another lap follow the one that sounds, in the place of one queued before. */
  queue(lapOf: LapOf): void {
    const { current } = this.#track;
    if (current === undefined) return;
    this.#track.queue(undefined);
    const lap = this.#laps.following(lapOf.bpm);
    this.#track.queue(this.#hand(lapOf, 0, lap, current.scheduled.endsAt));
  }

  unqueue(): void {
    this.#track.queue(undefined);
  }

  quiet(): void {
    this.#player.stop(FADE);
    this.#track.clear();
  }

  /** The next thing that has been heard and not been reported; undefined when nothing is due. */
  report(): Report | undefined {
    return this.#track.report(this.#player.heardNow(), this.#player.earliest());
  }

  /** An underrun at this audio time. */
  flagUnderrun(at: Seconds): void {
    this.#track.flagUnderrun(at);
  }

  /** Length of the whole unit at this tempo. */
  unitSeconds(bpm: Bpm): Seconds {
    return this.#laps.unitSeconds(bpm);
  }

  #hand(lapOf: LapOf, fromBar: number, lap: Lap, at: Seconds): TrackedLap {
    const scheduled = this.#player.schedule(lap, at, this.#sound?.(lap, fromBar));
    const tracked: TrackedLap = { ...lapOf, fromBar, scheduled };
    this.#handed.tell(tracked);
    return tracked;
  }
}
