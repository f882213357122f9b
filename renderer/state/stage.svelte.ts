// The climb on the stage: begun from the set-up, left for the log, begun again; one sitting per window.
import { Climb } from './climb.svelte.ts';
import { type ClimbSetup, windowSurroundings } from './climb-surroundings.ts';
import { unitPath } from '../../app/core/fretboard/tightest.ts';
import type { Steered } from '../input/controls.ts';
import { focusRoomTitle } from '../parts/focus.ts';
import { services } from '../services.ts';
import { firstSound } from './first-sound.svelte.ts';
import { ladderSetup } from './ladder-setup.svelte.ts';
import { modelSound, prepareModel } from './model-sound.ts';
import { messages } from './messages.svelte.ts';
import { practiceLog } from './practice-log.svelte.ts';
import { shell } from './shell.svelte.ts';
import { settings } from './settings.svelte.ts';
import { sound } from './sound.svelte.ts';

/** One sitting with the program: from opening the window to closing it. */
const session = crypto.randomUUID();

class Stage {
  climb = $state.raw<Climb>();

  /** Begins what the set-up holds, after the words of care. Call it from a key or click. */
  enter = (): void => {
    const setup = fromLadderSetup();
    if (setup) firstSound.before(() => void this.begin(setup));
  };

  /** Looks for a comfortable start tempo before the ladder is climbed. */
  find = (): void => {
    const setup = fromLadderSetup();
    if (setup) firstSound.before(() => void this.begin({ ...setup, finding: true }));
  };

  /** Puts a climb on the stage and starts its count-in; says why where it can't. */
  begin = async (setup: ClimbSetup): Promise<void> => {
    const player = await sound.open();
    if (!player) return;
    await prepareModel(player, setup);
    const made = Climb.create(setup, windowSurroundings(player, services));
    if (!made.ok) return messages.refuse(made.problems);
    this.climb?.close();
    this.climb = made.value;
    shell.fullWindow = true;
    void ladderSetup.keep();
    await made.value.go();
  };

  /**
   * The same once more, from the first rung, or the ladder from the start that a search has found;
   * what was just played is in the log by now.
   */
  again = async (): Promise<void> => {
    await practiceLog.load();
    const found = this.climb?.found;
    const target = ladderSetup.rules?.target;
    if (found && target) ladderSetup.change({ start: Math.min(found.start, target) });
    const setup = fromLadderSetup();
    if (setup) await this.begin(setup);
  };

  /** What keys and pedals steer: the climb, and once it is over where to go from there. */
  steered = (): Steered | undefined => {
    const { climb } = this;
    const finished = climb?.state.finished;
    if (!climb || !finished) return climb;
    // Nobody is sent back to the first rung by a foot after it hurt.
    const go = finished.reason === 'hurts' ? this.leave : this.again;
    return { go, judge: climb.judge, undo: climb.undo, stop: () => void this.leave() };
  };

  /** Back to the set-up; what was judged stays. */
  leave = async (): Promise<void> => {
    this.climb?.close();
    this.climb = undefined;
    shell.fullWindow = false;
    await practiceLog.load();
    await focusRoomTitle();
  };
}

/** The climb that the set-up holds; undefined while its chart or unit cannot be found. */
export function fromLadderSetup(): ClimbSetup | undefined {
  const { chart, unit, rules, options, cold, ownedBpm } = ladderSetup;
  if (!chart || !unit?.ok || !rules) return undefined;
  return {
    chart: { id: chart.id, title: chart.title },
    unit: unit.value,
    rules,
    options,
    session,
    cold,
    ...(ownedBpm !== undefined && { ownedTempo: ownedBpm }),
    hands: unitPath(unit.value, chart.shapes),
    sound: modelSound(unit.value, chart.shapes, settings.now.model),
  };
}

export const stage = new Stage();
