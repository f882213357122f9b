// The climb on the stage: begun from the set-up, left for the log, begun again; one sitting per window.
import { Climb } from './climb.svelte.ts';
import { type ClimbSetup, windowSurroundings } from './surroundings.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { unitPath } from '../../../app/core/units/hands.ts';
import { localDate } from '../../../app/core/log/days.ts';
import type { Steered } from '../../input/controls.ts';
import { focusRoomTitle } from '../../page/focus.ts';
import { services } from '../../services.ts';
import { drillRules, drillUnit } from '../ear/drill.ts';
import { hearing } from '../ear/hearing.svelte.ts';
import type { WeakChange } from '../ear/weakest.ts';
import { firstSound } from '../sound/first-sound.svelte.ts';
import { ladderSetup } from './ladder-setup.svelte.ts';
import { library } from '../library/library.svelte.ts';
import { modelSound, prepareModel } from '../sound/model-sound.ts';
import { messages } from '../messages.svelte.ts';
import { practiceLog } from '../log/practice-log.svelte.ts';
import { shell } from '../../shell/shell.svelte.ts';
import { settings } from '../settings.svelte.ts';
import { sound } from '../sound/sound.svelte.ts';
import { today } from '../log/today.ts';

/** One sitting with the program: from opening the window to closing it. */
const session = crypto.randomUUID();

const NOTHING_TO_DRILL = 'The ear has found no change to drill yet.';
const NOT_IN_A_TURN =
  'A turn of the queue is not left for a drill. Drill the change after the queue.';

class Stage {
  climb = $state.raw<Climb>();
  /** The climb that waits while one of its changes is drilled. */
  waiting = $state.raw<Climb>();

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
    // A question for the microphone comes before the stage, where a key would begin without it.
    await hearing.attend(made.value);
    this.#clear();
    this.climb = made.value;
    shell.fullWindow = true;
    void ladderSetup.keep();
    await made.value.go();
  };

  /**
   * The change to drill, where the ear has found one that keeps breaking; none while one is drilled
   * already, nor in a turn of a queue. The button is there, and the key and pedal act, by this alone.
   */
  get weakest(): WeakChange | undefined {
    const weak = hearing.of(this.climb)?.weakest;
    return weak && this.climb && !this.waiting && drillSetup(this.climb, weak) ? weak : undefined;
  }

  /** From the climb to a drill of its weakest change, or from the drill back to where the climb was. */
  drill = async (): Promise<void> => {
    if (this.waiting) return this.#back();
    const { climb, weakest } = this;
    const setup = climb && weakest && drillSetup(climb, weakest);
    if (!setup) return messages.say(climb?.setup.turn ? NOT_IN_A_TURN : NOTHING_TO_DRILL);
    const player = await sound.open();
    const made = player && Climb.create(setup, windowSurroundings(player, services));
    if (!made?.ok) return messages.refuse(made?.problems ?? []);
    climb.pause('player');
    await hearing.attend(made.value);
    this.waiting = climb;
    this.climb = made.value;
    await made.value.go();
  };

  #back(): void {
    const drilled = this.climb;
    this.climb = this.waiting;
    this.waiting = undefined;
    drilled?.close();
    if (drilled) hearing.forget(drilled);
  }

  #clear(): void {
    for (const climb of [this.climb, this.waiting]) {
      climb?.close();
      if (climb) hearing.forget(climb);
    }
    this.climb = undefined;
    this.waiting = undefined;
  }

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
    if (!climb) return undefined;
    const { go, judge, undo, stop } = climb;
    if (!finished) return { go, judge, undo, stop, drill: this.drill };
    // Nobody is sent back to the first rung by a foot after it hurt.
    const on = finished.reason === 'hurts' ? this.leave : this.waiting ? this.drill : this.again;
    return { go: on, judge, undo, stop: () => void this.leave(), drill: this.drill };
  };

  /** Back to the set-up; what was judged stays. */
  leave = async (): Promise<void> => {
    this.#clear();
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

/** The same sitting, sound and count-in on the unit that holds the weak change; undefined where there is none, and in a turn of a queue. */
function drillSetup(climb: Climb, weak: WeakChange): ClimbSetup | undefined {
  const { setup } = climb;
  const chart = library.find(setup.chart.id);
  const unit = chart && drillUnit(chart, setup.unit, weak);
  if (!chart || !unit || setup.turn) return undefined;
  return {
    ...{ chart: setup.chart, unit, options: setup.options, session },
    rules: drillRules(climb.state.rules, climb.bpm),
    cold: !playedToday(unit),
    hands: unitPath(unit, chart.shapes),
    sound: modelSound(unit, chart.shapes, settings.now.model),
  };
}

const playedToday = ({ fingerprint }: Unit): boolean =>
  practiceLog.passes.some((p) => p.unit.fingerprint === fingerprint && localDate(p.at) === today());

export const stage = new Stage();
