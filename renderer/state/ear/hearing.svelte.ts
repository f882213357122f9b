// The one ear of this window: its microphone, and the ears of the climbs that are on the stage or wait beside it.
import type { Analysis } from '../../audio/capture/analysis.ts';
import type { Climb } from '../climb/climb.svelte.ts';
import { isoNow } from '../climb/surroundings.ts';
import { Ear } from './ear.svelte.ts';
import { messages } from '../messages.svelte.ts';
import { settings } from '../settings.svelte.ts';
import { sound } from '../sound/sound.svelte.ts';
import { ClimbEar } from './climb-ear.svelte.ts';

export const ear = new Ear({
  microphones: async () => (await import('../../audio/capture/microphones.ts')).browserMicrophones,
  player: sound.open,
  measure: async (...asked) =>
    (await import('../../audio/capture/latency/measure.ts')).measureRoundTrip(...asked),
  settings: () => settings.now,
  write: settings.write,
  isoNow,
});

class Hearing {
  #ears = $state.raw<ReadonlyMap<Climb, ClimbEar>>(new Map());
  #analysis: Analysis | undefined;
  #leave: readonly (() => void)[] = [];

  of(climb: Climb | undefined): ClimbEar | undefined {
    return climb && this.#ears.get(climb);
  }

  /** Has the ear hear this climb, if it is wanted and can be; where it can't, the climb goes on without. */
  attend = async (climb: Climb): Promise<void> => {
    if (!settings.now.ear.on) return;
    const wasOpen = ear.open;
    const capture = await ear.listen();
    if (!capture) return messages.refuse(ear.problems);
    if (settings.now.ear.measures && !wasOpen) await this.#measure();
    const { startAnalysis } = await import('../../audio/capture/analysis.ts');
    if (!ear.capture) return messages.refuse(ear.problems);
    this.#analysis ??= this.#follow(startAnalysis());
    if (!ear.known && settings.now.latencies.length > 0) messages.say(NEW_DEVICES);
    const { rule } = settings.now.ear;
    const settled = { rule, rate: capture.rate, roundTrip: ear.roundTrip() };
    this.#ears = new Map([...this.#ears, [climb, new ClimbEar(climb, this.#analysis, settled)]]);
    climb.onEffect(({ kind }) => kind === 'finished' && this.rest());
  };

  /** The climb has left the stage for good. */
  forget = (climb: Climb): void => {
    this.of(climb)?.end();
    this.#ears = new Map([...this.#ears].filter(([other]) => other !== climb));
    this.rest();
  };

  /** Lets the microphone go, unless a climb needs it. */
  rest = (): void => {
    if ([...this.#ears.keys()].some((climb) => climb.phase !== 'finished')) return;
    this.#silence();
    ear.release();
  };

  async #measure(): Promise<void> {
    messages.say(
      'The microphone is open. First a rush of noise measures the delay; then comes the count-in.',
    );
    await ear.measure();
    if (ear.problems.length > 0) messages.refuse(ear.problems);
  }

  #follow(analysis: Analysis): Analysis {
    const { capture } = ear;
    if (capture) {
      this.#leave = [
        analysis.follow(capture),
        capture.onLost((problem) => {
          messages.refuse([problem]);
          this.#silence();
        }),
      ];
    }
    return analysis;
  }

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

export const hearing = new Hearing();
