// The run-through: a song, or a list of them, played with the band and the words in view; a climb of one go underneath.
import { slowBars } from '../../../app/core/band/hold-on.ts';
import type { Verdict } from '../../../app/core/model/pass.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import type { Result } from '../../../app/core/base/result.ts';
import type { Milliseconds } from '../../../app/core/base/units.ts';
import { buildLap } from '../../../app/core/timeline/lap.ts';
import { parseUnitKey, unitKey } from '../../../app/core/units/keys.ts';
import { listUnits, resolveUnit } from '../../../app/core/units/resolve.ts';
import { shapesHeld } from '../../../app/core/units/hands/fewest-barres.ts';
import { unitPath } from '../../../app/core/units/hands/hands.ts';
import type { Services } from '../../../app/services/contract/contract.ts';
import type { Steered } from '../../input/controls.ts';
import { later } from '../../page/clock.ts';
import type { Memory } from '../../page/memory.ts';
import { setOf, toggled } from '../../page/sets.ts';
import { Climb } from '../climb/climb.svelte.ts';
import { USUAL_OPTIONS } from '../climb/ladder-setup.svelte.ts';
import { type ClimbSetup, windowSurroundings } from '../climb/surroundings.ts';
import type { Ear } from '../ear/ear.svelte.ts';
import type { Hearing } from '../ear/hearing.svelte.ts';
import type { Library } from '../library/library.svelte.ts';
import type { PassRecorder } from '../log/pass-recorder.svelte.ts';
import type { PracticeLog } from '../log/practice-log.svelte.ts';
import type { Messages } from '../messages/messages.svelte.ts';
import type { SoundRecorder } from '../recordings/sound-recorder.svelte.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import type { FirstSound } from '../sound/first-sound.svelte.ts';
import type { Sound } from '../sound/sound.svelte.ts';
import {
  holdOnOf,
  rememberedRun,
  rememberRun,
  rememberedSet,
  rememberSet,
  type RunChoices,
  rulesOf,
  type SetSong,
  slowBarsOf,
  USUAL_CHOICES,
  withinBars,
} from './run-choices.ts';
import {
  type BrokenPlace,
  brokenPlaces,
  drillUnit,
  hardBarsOf,
  sectionStart,
} from './run-places.ts';
import { type Member, membersOf, runSound } from './run-sound.ts';
import { SONG_KINDS } from '../../../app/core/band/model.ts';

export interface RunAround {
  readonly services: Services;
  readonly memory: Memory;
  readonly messages: Messages;
  readonly settings: PlayerSettings;
  readonly library: Library;
  readonly log: PracticeLog;
  readonly recorder: PassRecorder;
  readonly sound: Pick<Sound, 'open'>;
  readonly firstSound: FirstSound;
  readonly ear: Pick<Ear, 'listen' | 'problems'>;
  readonly hearing: Pick<Hearing, 'of' | 'attend' | 'forget' | 'rest'>;
  /** Keeps a recording of the song, where that is wanted. */
  readonly recording: SoundRecorder;
}

/** One sitting with the program. */
const session = crypto.randomUUID();
/** The last chord rings on: so long it is recorded after the end of the song (ours, no source). */
const RINGS: Milliseconds = 2_000;

export class RunThrough {
  readonly #around: RunAround;
  #chart = $state('');
  #unit = $state(unitKey({ kind: 'form' }));
  choices = $state.raw<RunChoices>(USUAL_CHOICES);
  /** First bar that is played, from 1. */
  fromBar = $state(1);
  /** You play the chords yourself, so they are muted at first. */
  muted = $state.raw<ReadonlySet<string>>(setOf('chords'));
  songs = $state.raw<readonly SetSong[]>([]);
  /** Which song of the set list is on; undefined outside of one. */
  song = $state<number>();
  climb = $state.raw<Climb>();
  #said = $state.raw<readonly number[]>([]);
  /** The band's sounds are being made. */
  preparing = $state(false);
  #callOff: (() => void) | undefined;

  readonly chart: Chart | undefined = $derived.by(() => this.#around.library.find(this.#chart));
  /** What of it can be played as a song. */
  readonly units: readonly Unit[] = $derived.by(() => {
    const { chart } = this;
    return chart ? SONG_KINDS.flatMap((kind) => listUnits(chart, kind)) : [];
  });
  readonly unit: Result<Unit> | undefined = $derived.by(() => {
    const ref = parseUnitKey(this.#unit);
    return this.chart && (ref.ok ? resolveUnit(this.chart, ref.value) : ref);
  });
  readonly members: readonly Member[] = $derived(this.unit?.ok ? membersOf(this.unit.value) : []);
  /** The last pass is played, whether or not somebody has said how it went. */
  readonly over: boolean = $derived.by(() => isOver(this.climb));
  /** Where this song broke, in order, each bar once; what the player said stands first. */
  readonly broken: readonly BrokenPlace[] = $derived.by(() => this.#brokenPlaces());

  constructor(around: RunAround) {
    this.#around = around;
    this.songs = rememberedSet(around.memory);
  }

  get recording(): SoundRecorder {
    return this.#around.recording;
  }
  get chartId(): string {
    return this.#chart;
  }
  get unitKey(): string {
    return this.#unit;
  }

  load = async (): Promise<void> => {
    await Promise.all([this.#around.library.load(), this.#around.log.load()]);
    if (this.#chart === '') await this.choose(this.#around.library.charts[0]?.id ?? '');
  };

  /** Points at a chart, and at its whole form unless another unit is named. */
  choose = async (chart: string, unit = unitKey({ kind: 'form' })): Promise<void> => {
    await this.#around.library.open(chart);
    this.#chart = chart;
    this.#unit = unit;
    this.fromBar = 1;
    const last = rememberedRun(this.#around.memory, this.#key);
    const bars = this.unit?.ok ? this.unit.value.bars.length : 0;
    this.choices = withinBars(last?.choices ?? USUAL_CHOICES, bars);
    this.muted = setOf(...(last?.muted ?? ['chords']));
  };

  change = (patch: Partial<RunChoices>): void => {
    this.choices = { ...this.choices, ...patch };
    this.#remember();
  };

  /** Bars (from 1) in which the hardest changes of the part are made. */
  get hardBars(): readonly number[] {
    const { chart, unit } = this;
    if (!chart || !unit?.ok) return [];
    return hardBarsOf(unit.value, shapesHeld(chart, this.#around.settings.now.barres));
  }

  /** How it is remembered how this part was last played. */
  get #key(): string {
    return `${this.#chart} ${this.#unit}`;
  }

  #remember(): void {
    const { choices, muted } = this;
    rememberRun(this.#around.memory, this.#key, { choices, muted: [...muted] });
  }

  /** Lets a member of the band be heard or not, at once. */
  toggle = (member: string): void => {
    const muted = toggled(this.muted, member);
    this.muted = muted;
    this.#remember();
    if (this.climb) void this.#around.sound.open().then((player) => player?.setMuted(muted));
  };

  setSongs = (songs: readonly SetSong[]): void => {
    this.songs = songs;
    rememberSet(this.#around.memory, songs);
  };

  /** Plays what is chosen, after the words of care. Call it from a key or click. */
  begin = (): void => {
    this.song = undefined;
    this.#around.firstSound.before(() => void this.#play());
  };

  /** Plays the set list from its first song. */
  beginSet = (): void => {
    this.#around.firstSound.before(() => void this.#playSong(0));
  };

  /** The next song of the set list, if there is one. */
  next = async (): Promise<void> => {
    this.#callOff?.();
    if (this.song !== undefined && this.song + 1 < this.songs.length) {
      await this.#playSong(this.song + 1);
    }
  };

  /** The same once more. */
  again = (): Promise<void> => this.#play();

  /** It broke here: the bar that is heard is noted for later, and the song goes on. */
  mark = (): void => {
    const bar = this.climb?.place?.unitBar;
    if (bar !== undefined && !this.#said.includes(bar)) this.#said = [...this.#said, bar];
  };

  /** Back to the start of the section that is heard, or in its first two bars to the one before. */
  back = (): void => {
    const { climb } = this;
    if (climb) void climb.takeUpAt(sectionStart(climb.setup.unit, this.#barNow() - 2));
  };

  /** Counts in at a bar of the unit, from 0. While it is counted in at first, the song starts there instead. */
  jump = (bar: number): void => {
    const { climb } = this;
    const started = climb?.phase !== 'counting-in' || climb.state.passes.at(-1)?.interrupted;
    if (started) return void climb?.takeUpAt(bar);
    this.fromBar = bar + 1;
    void this.#play();
  };

  /**
   * What keys and pedals steer. "Missed" while the song runs notes the place; afterwards it judges. "Record" ends a
   * recording that goes on: the first bar is over by then, so none is begun.
   */
  steered = (): Steered | undefined => {
    const { climb } = this;
    if (!climb) return undefined;
    const { over } = this;
    return {
      go: over ? () => (this.#hasNext() ? this.next() : this.again()) : climb.go,
      judge: (verdict: Verdict, source) => {
        if (climb.phase === 'playing') return verdict === 'missed' ? this.mark() : undefined;
        climb.judge(verdict, source);
      },
      undo: () => (over || climb.phase !== 'playing' ? climb.undo() : this.back()),
      stop: (reason) => (over ? this.leave() : climb.stop(reason)),
      record: this.recording.end,
    };
  };

  /** What to drill of a place that broke: its bar with one on each side, as the chart writes them. */
  drillOf = ({
    bar,
  }: BrokenPlace): { readonly chart: string; readonly unit: string } | undefined => {
    const { chart, climb } = this;
    const unit = chart && climb && drillUnit(chart, climb.setup.unit, bar);
    return chart && unit && { chart: chart.id, unit: unit.key };
  };

  leave = (): void => {
    this.#callOff?.();
    this.#clear();
    this.song = undefined;
  };

  #hasNext = (): boolean => this.song !== undefined && this.song + 1 < this.songs.length;

  async #playSong(index: number): Promise<void> {
    const song = this.songs[index];
    if (!song || !(await this.#around.library.open(song.chart))) {
      this.#around.messages.say('This song is no longer in the library; it is left out.');
      return index + 1 < this.songs.length ? this.#playSong(index + 1) : this.leave();
    }
    await this.choose(song.chart);
    this.song = index;
    await this.#play();
  }

  async #play(): Promise<void> {
    const setup = this.#setup();
    const { sound, messages, hearing } = this.#around;
    const player = setup && (await sound.open());
    if (!setup || !player) return;
    this.#clear();
    this.preparing = true;
    try {
      await player.prepareBand();
      const first = setup.sound?.(buildLap(setup.unit, setup.rules.start, setup.options), 0);
      await player.prepare(first?.model ?? []);
    } finally {
      this.preparing = false;
    }
    player.setMuted(this.muted);
    const surroundings = windowSurroundings({ ...this.#around, player });
    const made = Climb.create(
      setup,
      this.#logs ? surroundings : { ...surroundings, recorder: NOWHERE },
    );
    if (!made.ok) return messages.refuse(made.problems);
    await hearing.attend(made.value);
    if (this.recording.wanted) await this.#record(made.value);
    this.climb = made.value;
    await made.value.go();
  }

  /** From the microphone that the ear opens; where the ear does not listen, it is opened for this alone. */
  async #record(climb: Climb): Promise<void> {
    const { ear, hearing, messages, settings } = this.#around;
    const capture = await ear.listen();
    if (!capture) return messages.refuse(ear.problems);
    const { chart, unit, rules } = climb.setup;
    await this.recording.begin(capture.branch(), {
      ...{ chart, unit: { key: unit.key, name: unit.name }, climb: climb.id },
      tempo: { bpm: climb.bpm, beat: rules.beat },
    });
    if (!settings.now.ear.on) hearing.rest();
  }

  /** A song that is not played from its beginning is no pass of it, so it is not logged as one. */
  get #logs(): boolean {
    return this.fromBar === 1;
  }

  #setup(): ClimbSetup | undefined {
    const { chart, unit, choices } = this;
    if (!chart || !unit?.ok) return undefined;
    const slow = slowBarsOf(choices);
    const shapes = shapesHeld(chart, this.#around.settings.now.barres);
    const played = slow.length > 0 ? slowBars(unit.value, slow, choices.slow / 100) : unit.value;
    return {
      ...{ chart: { id: chart.id, title: chart.title }, unit: played, session },
      rules: rulesOf(unit.value, choices),
      options: { ...USUAL_OPTIONS, cueBeats: 0, markChanges: false },
      cold: !this.#around.log.playedToday(chart.id, played.fingerprint),
      fromBar: Math.min(this.fromBar, played.bars.length) - 1,
      hands: unitPath(played, shapes),
      sound: runSound(played, shapes, holdOnOf(choices)),
    };
  }

  /** What is recorded ends; after the pause of the set list the next song counts in by itself. */
  songEnded = (): void => {
    const { climb } = this;
    later(RINGS, () => {
      if (this.climb === climb) void this.recording.end();
    });
    this.#waitForNext();
  };

  #waitForNext(): void {
    const pause = this.song === undefined ? 0 : (this.songs[this.song]?.pause ?? 0);
    this.#callOff?.();
    if (pause > 0 && this.#hasNext()) this.#callOff = later(pause * 1000, () => void this.next());
  }

  #barNow = (): number => this.climb?.place?.unitBar ?? 0;

  #brokenPlaces(): readonly BrokenPlace[] {
    const heard = this.#around.hearing.of(this.climb)?.latest;
    return brokenPlaces(this.#said, heard, this.#around.settings.now.ear.rule);
  }

  #clear(): void {
    void this.recording.end();
    this.climb?.close();
    if (this.climb) this.#around.hearing.forget(this.climb);
    this.climb = undefined;
    this.#said = [];
  }
}

function isOver(climb: Climb | undefined): boolean {
  if (!climb) return false;
  const { phase, planned, passes } = climb.state;
  return phase === 'finished' || (phase === 'resting' && !planned && passes.at(-1)?.ended === true);
}

const NOWHERE = { append: () => undefined };
