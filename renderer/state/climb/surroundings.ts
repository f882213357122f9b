// What a climb is given: its set-up, and the part of the world it needs, as this window has it.
import type { Services } from '../../../app/services/contract/contract.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import type { Path } from '../../../app/core/fretboard/path.ts';
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import type { Lap, LapOptions } from '../../../app/core/timeline/model.ts';
import type { Bpm, IsoTime, Seconds } from '../../../app/core/base/units.ts';
import type { LapSound, Player } from '../../audio/player.ts';
import { isoNow } from '../../page/clock.ts';
import type { PassRecorder } from '../log/pass-recorder.svelte.ts';

export interface ClimbSetup {
  readonly chart: { readonly id: string; readonly title: string };
  readonly unit: Unit;
  readonly rules: LadderRules;
  /** `restBars` is taken from the rules. */
  readonly options: LapOptions;
  readonly session: string;
  /** No pass of this unit is in the log of this calendar day, so the first one is a cold one. */
  readonly cold: boolean;
  /** What of a lap is heard besides its clicks; `fromBar` is the bar of the unit it begins with. */
  readonly sound?: (lap: Lap, fromBar: number) => LapSound;
  /** The shapes of the unit's chords, for the stage. */
  readonly hands?: Path;
  /** A search for a start tempo instead of a climb up the ladder. */
  readonly finding?: boolean;
  /** The unit's owned tempo according to the log. */
  readonly ownedTempo?: Bpm;
  /** The first pass begins at this bar of the unit, from 0. @default 0 */
  readonly fromBar?: number;
  /** A short way off another climb: a drill is looped for its time, a piece is judged. */
  readonly detour?: 'drill' | 'piece';
  /** A turn of a queue has its own time; it is not left for a drill. */
  readonly turn?: true;
}

/** Everything of the world that a climb needs, so that tests can give it another. */
export interface Surroundings {
  readonly player: Player;
  readonly services: Pick<Services, 'call' | 'on'>;
  /** Takes what is to be logged and sees it onto the disk. */
  readonly recorder: Pick<PassRecorder, 'append'>;
  /** A clock that only goes forward; any origin. */
  readonly now: () => Seconds;
  readonly isoNow: () => IsoTime;
  readonly newId: () => string;
  /** Calls `tick` once per animation frame until the returned function is called. */
  readonly everyFrame: (tick: () => void) => () => void;
  /** Calls `listener` whenever the window is hidden, until the returned function is called. */
  readonly onHidden: (listener: () => void) => () => void;
}

/** This window's own clock, identities, frames and visibility around a player and the machine side. */
export const windowSurroundings = (
  around: Pick<Surroundings, 'player' | 'services' | 'recorder'>,
): Surroundings => ({
  ...around,
  now: () => performance.now() / 1000,
  isoNow,
  newId: () => crypto.randomUUID(),
  everyFrame,
  onHidden: (listener) => {
    const hidden = () => document.visibilityState === 'hidden' && listener();
    document.addEventListener('visibilitychange', hidden);
    return () => document.removeEventListener('visibilitychange', hidden);
  },
});

function everyFrame(tick: () => void): () => void {
  let frame = requestAnimationFrame(function next() {
    frame = requestAnimationFrame(next);
    tick();
  });
  return () => cancelAnimationFrame(frame);
}
