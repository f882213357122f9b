// The one ear of this window: its microphone, and the ears of the climbs that are on the stage or wait beside it.
import type { Analysis } from '../../audio/capture/analysis.ts';
import type { Problem } from '../../../app/core/base/result.ts';
import { thinkingProblem } from '../../audio/capture/problems.ts';
import type { Climb } from '../climb/climb.svelte.ts';
import type { Ear } from './ear.svelte.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import { NO_ENTRIES, withEntry, withoutEntry } from '../../page/maps.ts';
import { problemWords } from '../../page/words.ts';
import type { ClimbEar } from './climb-ear.svelte.ts';

interface HearingAround {
  readonly ear: Ear;
  readonly settings: PlayerSettings;
  readonly messages: Messages;
}

export class Hearing {
  readonly #around: HearingAround;
  #ears = $state.raw<ReadonlyMap<Climb, ClimbEar>>(NO_ENTRIES);
  #analysis: Analysis | undefined;
  #leave: readonly (() => void)[] = [];
  #mutedWords: string | undefined;
  #measured = false;

  constructor(around: HearingAround) {
    this.#around = around;
  }

  of(climb: Climb | undefined): ClimbEar | undefined {
    return climb && this.#ears.get(climb);
  }

  /** Has the ear hear this climb, if it is wanted and can be; where it can't, the climb goes on without. */
  attend = async (climb: Climb): Promise<void> => {
    const { ear, settings, messages } = this.#around;
    if (!settings.now.ear.on) return;
    const wasOpen = ear.open;
    const capture = await ear.listen();
    if (!capture) return messages.refuse(ear.problems);
    if (settings.now.ear.measures && !wasOpen) await this.#measure();
    const [{ startAnalysis }, { ClimbEar: EarOfClimb }] = await Promise.all([
      import('../../audio/capture/analysis.ts'),
      import('./climb-ear.svelte.ts'),
    ]);
    if (!ear.capture) return messages.refuse(ear.problems);
    this.#analysis ??= this.#follow(startAnalysis());
    const { rule } = settings.now.ear;
    const settled = { rule, rate: capture.rate, roundTrip: this.#roundTrip };
    this.#measured = false;
    if (!settled.roundTrip().measured && settings.now.latencies.length > 0)
      messages.say(NEW_DEVICES);
    this.#ears = withEntry(this.#ears, climb, new EarOfClimb(climb, this.#analysis, settled));
    climb.onEffect(({ kind }) => kind === 'finished' && this.rest());
  };

  /** The climb has left the stage for good. */
  forget = (climb: Climb): void => {
    this.of(climb)?.end();
    this.#ears = withoutEntry(this.#ears, climb);
    this.rest();
  };

  /** Lets the microphone go, unless a climb needs it. */
  rest = (): void => {
    if ([...this.#ears.keys()].some((climb) => climb.phase !== 'finished')) return;
    this.#silence();
    this.#around.ear.release();
  };

  /** Says so when it stops being known. */
  #roundTrip = (): ReturnType<Ear['roundTrip']> => {
    const { ear, messages } = this.#around;
    const trip = ear.roundTrip();
    if (this.#measured && !trip.measured) messages.say(OTHER_DEVICES);
    this.#measured = trip.measured;
    return trip;
  };

  async #measure(): Promise<void> {
    const { ear, messages } = this.#around;
    messages.say(
      'The microphone is open. First a rush of noise measures the delay; then comes the count-in.',
    );
    await ear.measure();
    if (ear.problems.length > 0) messages.refuse(ear.problems);
  }

  #follow(analysis: Analysis): Analysis {
    const { capture } = this.#around.ear;
    const lost = (problem: Problem): void => {
      this.#around.messages.refuse([problem]);
      this.#silence();
    };
    this.#leave = [analysis.onLost(() => lost(thinkingProblem))];
    if (capture) {
      const follows = [
        analysis.follow(capture),
        capture.onLost(lost),
        capture.onMuted(this.#muted),
      ];
      this.#leave = [...this.#leave, ...follows];
    }
    return analysis;
  }

  #muted = (problem: Problem | null): void => {
    const { messages } = this.#around;
    if (this.#mutedWords !== undefined) messages.unsay(this.#mutedWords);
    this.#mutedWords = problem ? problemWords(problem) : undefined;
    if (problem) messages.refuse([problem]);
  };

  #silence(): void {
    for (const climbEar of this.#ears.values()) climbEar.end();
    for (const leave of this.#leave) leave();
    this.#leave = [];
    this.#analysis?.close();
    this.#analysis = undefined;
  }
}

const NEW_DEVICES =
  'The delay of these devices is not measured yet: lateness is against your own middle. Measure it in the Ear room.';

const OTHER_DEVICES =
  'The sound devices changed, and the delay of these is not measured: lateness is now against your own middle. Measure it in the Ear room.';
