// The climb on the stage: begun from the set-up, left for the log, begun again; one sitting per window.
import type { Services } from '../../../app/services/contract/contract.ts';
import type { Answer } from '../../../app/core/ladder/model.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { BreakPlace, Unit } from '../../../app/core/model/unit.ts';
import type { Result } from '../../../app/core/base/result.ts';
import type { WeakChange } from '../../../app/core/ear/broken.ts';
import type { Steered } from '../../input/controls.ts';
import { focusRoomTitle } from '../../page/focus.ts';
import type { Climb } from '../climb/climb.svelte.ts';
import type { LadderSetup } from '../climb/ladder-setup.svelte.ts';
import type { ClimbSetup } from '../climb/surroundings.ts';
import type { Hearing } from '../ear/hearing.svelte.ts';
import type { Library } from '../library/library.svelte.ts';
import type { PassRecorder } from '../log/pass-recorder.svelte.ts';
import type { PracticeLog } from '../log/practice-log.svelte.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import type { Router } from '../shell/router.svelte.ts';
import type { Shell } from '../shell/shell.svelte.ts';
import type { FirstSound } from '../sound/first-sound.svelte.ts';
import type { Sound } from '../sound/sound.svelte.ts';
import { nextGoal } from './won.ts';
import { drillRules, drillUnit } from './drill.ts';
import { SONG_KINDS } from '../../../app/core/band/model.ts';

export interface StageAround {
  readonly services: Services;
  readonly messages: Messages;
  readonly settings: PlayerSettings;
  readonly shell: Shell;
  readonly router: Router;
  readonly library: Library;
  readonly log: PracticeLog;
  readonly recorder: PassRecorder;
  readonly sound: Pick<Sound, 'open'>;
  readonly firstSound: FirstSound;
  readonly hearing: Pick<Hearing, 'of' | 'attend' | 'forget'>;
  readonly ladderSetup: LadderSetup;
}

/** One sitting with the program: from opening the window to closing it. */
const session = crypto.randomUUID();

const NOTHING_TO_DRILL = 'No change has broken yet: there is nothing to drill.';
const NOT_IN_A_TURN =
  'A turn of the queue is not left for a drill. Drill the change after the queue.';

/** With the first sound, see there. */
const toPlay = () => import('./open-climb.ts');

export class Stage {
  readonly #around: StageAround;
  climb = $state.raw<Climb>();
  /** The climb that waits while one of its changes is drilled. */
  waiting = $state.raw<Climb>();
  #record: (() => unknown) | undefined;

  constructor(around: StageAround) {
    this.#around = around;
  }

  /** Begins what the set-up holds, after the words of care. Call it from a key or click. */
  enter = (): void => this.#beginChosen({});

  /** Looks for a comfortable start tempo before the ladder is climbed. */
  find = (): void => this.#beginChosen({ finding: true });

  #beginChosen(more: Pick<ClimbSetup, 'finding'>): void {
    const { ladderSetup, firstSound } = this.#around;
    ladderSetup.whenChosen(() => {
      const setup = this.fromSetup();
      if (setup) firstSound.before(() => void this.begin({ ...setup, ...more }));
    });
  }

  /** Puts a climb on the stage and starts its count-in; says why where it can't. */
  begin = async (setup: ClimbSetup): Promise<void> => {
    const { messages, hearing, shell, ladderSetup } = this.#around;
    const made = await this.#open(setup);
    if (!made) return;
    if (!made.ok) return messages.refuse(made.problems);
    // A question for the microphone comes before the stage, where a key would begin without it.
    await hearing.attend(made.value);
    this.#clear();
    this.climb = made.value;
    this.#follow(made.value);
    shell.fullWindow = true;
    void ladderSetup.keep();
    await made.value.go();
  };

  /** Undefined where there is no sound, which has been told, or no chart. */
  async #open(setup: ClimbSetup): Promise<Result<Climb> | undefined> {
    const { sound, settings, library } = this.#around;
    // The sound is asked for first, within the press that begins it.
    const [player, { openClimb }] = await Promise.all([sound.open(), toPlay()]);
    const chart = library.find(setup.chart.id);
    return player && chart && openClimb(setup, chart, settings.now, { ...this.#around, player });
  }

  /**
   * The change to drill, where the ear has found one that keeps breaking; none while one is drilled
   * already, nor in a turn of a queue. The button is there, and the key and pedal act, by this alone.
   */
  get weakest(): WeakChange | undefined {
    const weak = this.#around.hearing.of(this.climb)?.weakest;
    return weak && this.climb && !this.waiting && this.#drillSetup(this.climb, weak)
      ? weak
      : undefined;
  }

  /** From the climb to a drill of its weakest change, or from the drill back to where the climb was. */
  drill = async (): Promise<void> => {
    if (this.climb?.setup.detour) return this.climb.stop('player');
    if (this.waiting) return this.#back();
    if (this.climb?.asked?.answers.some(({ kind }) => kind === 'drill')) {
      return this.climb.take('drill');
    }
    const { climb } = this;
    // What the ear found, else what the player marked by hand in this climb.
    const { likeliest } = await toPlay();
    const marked = climb?.state.partner ? likeliest(climb.state.partner) : null;
    const weakest = this.weakest ?? marked ?? undefined;
    const { messages, hearing } = this.#around;
    const setup = climb && weakest && this.#drillSetup(climb, weakest);
    if (!setup) return messages.say(climb?.setup.turn ? NOT_IN_A_TURN : NOTHING_TO_DRILL);
    const made = await this.#open(setup);
    if (!made?.ok) return messages.refuse(made?.problems ?? []);
    climb.pause('player');
    await hearing.attend(made.value);
    this.waiting = climb;
    this.climb = made.value;
    await made.value.go();
  };

  /** A miss that the partner answers with a drill or a piece leads there and back by itself. */
  #follow(climb: Climb): void {
    climb.onEffect((effect) => {
      if (effect.kind === 'detour') void this.#detour(climb, effect.answer);
      if (effect.kind === 'finished') this.#keepPlace(climb);
    });
  }

  /** What was found or reached is where this sitting goes on, also after a stop. */
  #keepPlace({ state, found, setup }: Climb): void {
    const { ladderSetup } = this.#around;
    const { chartId, unitKey, rules } = ladderSetup;
    const same = setup.chart.id === chartId && setup.unit.key === unitKey;
    if (!same || !rules || setup.turn) return;
    if (found) return ladderSetup.change({ start: Math.min(found.start, rules.target) });
    const stood = state.rungs[state.footholds.lower.rung];
    const played = state.passes.some(({ source }) => source !== null);
    const stopped = state.finished?.reason !== 'top' && state.rules.route === 'straight';
    if (played && stopped && !state.finding && stood !== undefined && stood !== rules.start) {
      ladderSetup.goOnFrom(stood);
    }
  }

  async #detour(climb: Climb, answer: DetourAnswer): Promise<void> {
    const setup = await this.#detourSetup(climb, answer);
    const made = setup && (await this.#open(setup));
    if (!made?.ok) return climb.back();
    await this.#around.hearing.attend(made.value);
    this.waiting = climb;
    this.climb = made.value;
    made.value.onEffect((effect) => {
      if (effect.kind !== 'finished' || this.climb !== made.value) return;
      if (effect.reason === 'hurts') return;
      this.#back();
      climb.back();
    });
    await made.value.go();
  }

  /** Takes the last verdict back, else the drill or piece that it led to. */
  undo = (): void => {
    const { climb, waiting } = this;
    if (!climb?.setup.detour || climb.undoable || !waiting) return climb?.undo();
    this.#back();
    waiting.undo();
  };

  get undoable(): boolean {
    return this.climb?.undoable === true || this.climb?.setup.detour !== undefined;
  }

  #back(): void {
    const drilled = this.climb;
    this.climb = this.waiting;
    this.waiting = undefined;
    drilled?.close();
    if (drilled) this.#around.hearing.forget(drilled);
  }

  #clear(): void {
    for (const climb of [this.climb, this.waiting]) {
      climb?.close();
      if (climb) this.#around.hearing.forget(climb);
    }
    this.climb = undefined;
    this.waiting = undefined;
  }

  /** Once more: from where it was stopped, the start that a search has found, else from the first rung. */
  again = async (): Promise<void> => {
    const setup = this.fromSetup();
    if (setup) await this.begin(setup);
  };

  /** What keys and pedals steer: the climb, and once it is over where to go from there. */
  steered = (): Steered | undefined => {
    const { climb } = this;
    const finished = climb?.state.finished;
    if (!climb) return undefined;
    const { go, judge, stop } = climb;
    const { undo } = this;
    const record = (): unknown => this.#record?.();
    if (!finished) return { go, judge, undo, stop, drill: this.drill, record };
    // Nobody is sent back to the first rung by a foot after it hurt.
    const goal = this.goal;
    const on =
      finished.reason === 'hurts'
        ? this.leave
        : this.waiting
          ? this.drill
          : goal
            ? () => this.next(goal)
            : this.bandGoal
              ? this.withBand
              : this.again;
    return { go: on, judge, undo, stop: () => void this.leave(), drill: this.drill };
  };

  /** For as long as the stage offers to record, keys and pedals do it by this. Returns the function that ends that. */
  recordBy = (record: () => unknown): (() => void) => {
    this.#record = record;
    return () => {
      if (this.#record === record) this.#record = undefined;
    };
  };

  /** What is offered after the top; none in a turn of a queue, nor after another end. */
  get goal(): Unit | undefined {
    const { climb } = this;
    if (!climb || climb.setup.turn || climb.setup.detour) return undefined;
    if (climb.state.finished?.reason !== 'top') return undefined;
    const chart = this.#around.library.find(climb.setup.chart.id);
    return chart && nextGoal(chart, climb.setup.unit);
  }

  /** After the top of a section, a join or the song: the same with the band. Else undefined. */
  get bandGoal(): Unit | undefined {
    const { climb } = this;
    if (!climb || climb.setup.turn || climb.setup.detour) return undefined;
    const { unit } = climb.setup;
    const playable = SONG_KINDS.some((kind) => kind === unit.ref.kind);
    return playable && climb.state.finished?.reason === 'top' ? unit : undefined;
  }

  /** From the top of a ladder into the run-through of the same bars. */
  withBand = async (): Promise<void> => {
    const { climb } = this;
    if (!climb) return;
    await this.leave();
    this.#around.router.go('run', climb.setup.chart.id, climb.setup.unit.key);
  };

  /** The next small goal after the top: chosen in the set-up and begun. */
  next = async (unit: Unit): Promise<void> => {
    const { ladderSetup } = this.#around;
    await ladderSetup.choose(ladderSetup.chartId, unit.key);
    this.#around.router.replace('climb', ladderSetup.chartId, unit.key);
    const setup = this.fromSetup();
    if (setup) await this.begin(setup);
  };

  /** Back to the set-up; what was judged stays. */
  leave = async (): Promise<void> => {
    this.#clear();
    this.#around.shell.fullWindow = false;
    await focusRoomTitle();
  };

  /** The climb that the set-up holds; undefined while its chart or unit cannot be found. */
  fromSetup = (): ClimbSetup | undefined => {
    const { ladderSetup } = this.#around;
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
    };
  };

  /** The unit and rules of a drill or piece; undefined where the chart does not hold it. */
  async #detourSetup(climb: Climb, answer: DetourAnswer): Promise<ClimbSetup | undefined> {
    const { detourRules, detourUnit } = await toPlay();
    const chart = this.#around.library.find(climb.setup.chart.id);
    const unit = chart && detourUnit(chart, climb.setup.unit, answer);
    const rules = unit && detourRules(unit, climb.state.rules, answer);
    if (!chart || !unit || !rules) return undefined;
    const { chart: named, options } = climb.setup;
    const detour = answer.kind;
    return { ...{ chart: named, options, rules, detour }, ...this.#playing(chart, unit) };
  }

  /** What every climb on a unit is given. */
  #playing(chart: Chart, unit: Unit): Pick<ClimbSetup, PlayingKey> {
    const cold = !this.#around.log.playedToday(chart.id, unit.fingerprint);
    return { unit, session, cold };
  }

  /** The same sitting, sound and count-in on the unit that holds the weak change; undefined where there is none, and in a turn of a queue. */
  #drillSetup(climb: Climb, weak: BreakPlace): ClimbSetup | undefined {
    const { library } = this.#around;
    const { setup } = climb;
    const chart = library.find(setup.chart.id);
    const unit = chart && drillUnit(chart, setup.unit, weak);
    if (!chart || !unit || setup.turn) return undefined;
    return {
      ...{ chart: setup.chart, options: setup.options },
      rules: drillRules(climb.state.rules, climb.bpm),
      ...this.#playing(chart, unit),
    };
  }
}

type DetourAnswer = Extract<Answer, { kind: 'drill' | 'piece' }>;
type PlayingKey = 'unit' | 'session' | 'cold';
