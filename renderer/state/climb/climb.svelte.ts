// Conducts a climb: joins the reducer, the laps, the player and the log, and holds what the stage shows.
import { judgeable, step } from '../../../app/core/ladder/climb.ts';
import { finderOf } from '../../../app/core/ladder/finding.ts';
import { newClimb, newFinding } from '../../../app/core/ladder/new-climb.ts';
import { passOf } from '../../../app/core/ladder/plan.ts';
import { newPartner } from '../../../app/core/ladder/partner.ts';
import { breakPlaces } from '../../../app/core/units/changes.ts';
import type {
  AnswerKind,
  Asked,
  ClimbEffect,
  Happening,
  ClimbPass,
  ClimbPhase,
  ClimbState,
  PauseReason,
  StopReason,
} from '../../../app/core/ladder/model.ts';
import type { Found } from '../../../app/core/ladder/tempo-finder.ts';
import type { ChangeHeard, Verdict, ClimbSource } from '../../../app/core/model/pass.ts';
import type { BreakPlace } from '../../../app/core/model/unit.ts';
import { ok, type Problem, type Result } from '../../../app/core/base/result.ts';
import type { Bpm, Seconds } from '../../../app/core/base/units.ts';
import type { PlayerTrouble } from '../../audio/player.ts';
import { Awake } from './awake.ts';
import { ClimbLog } from './climb-log.ts';
import { followWorld } from './follow-world.ts';
import { HandedLaps } from './handed-laps.ts';
import type { HeardPlace, Report } from './lap-track.ts';
import { Listeners } from './listeners.ts';
import { PassNotes } from './notes.ts';
import type { ClimbSetup, Surroundings } from './surroundings.ts';
import { Wait } from './wait.svelte.ts';
import { effectWords, presentRung, rungViews, standingWords } from './words.ts';

/** Phases that can be paused. */
const RUNNING: readonly ClimbPhase[] = ['counting-in', 'playing', 'resting', 'asking'];

/** A passing sentence; a new `id` each time, so that a screen reader says a repeated one again. */
export interface ClimbRemark {
  readonly id: number;
  readonly text: string;
}

export class Climb {
  readonly setup: ClimbSetup;
  /** Identity of this go at the ladder in the log. */
  readonly id: string;
  readonly #around: Surroundings;
  readonly #laps: HandedLaps;
  readonly #notes: PassNotes;
  readonly #log: ClimbLog;
  readonly #wait: Wait;
  readonly #awake: Awake;
  readonly #effects = new Listeners<ClimbEffect>();
  /** Ends what it follows of the world, from its first sound on. */
  #leave: (() => void) | undefined;
  #opening = false;
  #pausedAtBar = 0;
  #remarks = 0;

  #state: ClimbState = $state.raw() as unknown as ClimbState;
  #place = $state.raw<HeardPlace>();
  #problems = $state.raw<readonly Problem[]>([]);
  #remark = $state.raw<ClimbRemark | null>(null);

  readonly phase = $derived.by(() => this.#state.phase);
  readonly rungs = $derived.by(() => rungViews(this.#state));
  readonly rung = $derived.by(() => presentRung(this.#state));
  readonly bpm: Bpm = $derived.by(() => this.#state.rungs[this.rung] as Bpm);
  /** The pass that a verdict given now would be for. */
  readonly awaited: ClimbPass | undefined = $derived.by(() => judgeable(this.#state));
  /** The latest pass that somebody judged. */
  readonly lastJudged: ClimbPass | undefined = $derived.by(() =>
    this.#state.passes.findLast((p) => p.source !== null),
  );
  readonly undoable = $derived.by(() => this.#state.undoable !== null);
  /** The partner's question after a miss. */
  readonly asked: Asked | null = $derived.by(() =>
    this.#state.phase === 'asking' ? (this.#state.partner?.asked ?? null) : null,
  );
  /** The sentence that stands on the stage; '' while the music says it all. */
  readonly message = $derived.by(() => standingWords(this.#state));

  private constructor(setup: ClimbSetup, around: Surroundings, state: ClimbState) {
    this.setup = setup;
    this.id = around.newId();
    this.#around = around;
    this.#state = state;
    this.#laps = new HandedLaps(setup, state.rules.restBars, around.player);
    this.#notes = new PassNotes(around);
    this.#log = new ClimbLog({ ...setup, climb: this.id }, this.#notes, this.#laps, around);
    this.#wait = new Wait(around.now);
    this.#awake = new Awake(around.services);
  }

  /** Fails as `rungs` does: a start above the target, a tempo outside 20–400 and so on. */
  static create(setup: ClimbSetup, around: Surroundings): Result<Climb> {
    const { rules, ownedTempo, finding } = setup;
    const state = finding ? newFinding(rules) : newClimb(rules, ownedTempo, partnerFor(setup));
    return state.ok ? ok(new Climb(setup, around, state.value)) : state;
  }

  /** What a search for a start tempo has found. */
  get found(): Found | null {
    return this.#state.finished?.reason === 'found' ? finderOf(this.#state).found : null;
  }
  get state(): ClimbState {
    return this.#state;
  }
  /** What is heard at this frame: part, bars, beat, chord now and next, beats until it; none while silent. */
  get place(): HeardPlace | undefined {
    return this.#place;
  }
  /** Why the sound could not be opened. */
  get problems(): readonly Problem[] {
    return this.#problems;
  }
  /** Seconds until the partner's step is taken, or a drill left, by itself; undefined while nothing waits. */
  get takesIn(): Seconds | undefined {
    return this.#wait.left;
  }
  get remark(): ClimbRemark | null {
    return this.#remark;
  }

  /** Begins, pauses or goes on, whichever makes sense now. Call it from a key, click or pedal. */
  go = async (): Promise<void> => {
    if (this.#state.phase === 'ready') await this.#withSound('begin');
    else if (this.#state.phase === 'paused') await this.#withSound('resume');
    else if (this.#state.phase === 'asking') this.take();
    else this.pause('player');
  };

  judge = (verdict: Verdict, source: ClimbSource = 'self'): void => {
    this.#catchUp();
    if (this.asked !== null) return verdict === 'missed' ? this.stepPlace(source) : this.take();
    const pass = judgeable(this.#state);
    if (pass?.verdict && pass.verdict !== 'unjudged' && pass.verdict !== verdict) {
      return this.#say(`It stands as ${pass.verdict}. Take that back first.`);
    }
    if (pass === undefined) return this.#say('There is no pass to judge just now.');
    this.#send({ kind: 'verdict', pass: pass.number, verdict, source });
  };

  /** The ear's verdict on one pass, with what it heard; without a verdict only what it heard is kept. */
  judgeByEar = (
    pass: number,
    verdict: Verdict | null,
    changes: readonly ChangeHeard[],
    worst?: BreakPlace,
  ): void => {
    this.#notes.heard(pass, changes);
    if (verdict === null) return;
    this.#catchUp();
    this.#send({ kind: 'verdict', pass, verdict, source: 'ear' });
    if (worst) this.brokeByEar(pass, worst);
  };

  /** Where the ear found this pass to break, while it is asked about; null is nowhere that is asked about. */
  brokeByEar = (pass: number, place: BreakPlace | null): void => {
    if (this.asked?.pass === pass) this.#offer(place, 'ear');
  };

  /**
   * The player upholds these changes of a pass against the ear, or none of them any more. `verdict` is what follows
   * by the ear's rule, as whose word; without one, or where the time to judge is over, the verdict stands.
   */
  uphold = (
    pass: number,
    played: readonly number[],
    follows?: { readonly verdict: Verdict; readonly source: ClimbSource },
  ): void => {
    this.#catchUp();
    this.#notes.upheld(pass, played);
    if (this.asked?.pass === pass) this.#wait.start('where');
    const { verdict, source, logged } = passOf(this.#state, pass);
    if (follows && verdict !== follows.verdict && this.#state.undoable?.pass === pass) {
      if (source !== 'ear') this.#send({ kind: 'undo' });
      return this.#send({ kind: 'verdict', pass, ...follows });
    }
    if (!logged) return;
    const said = { verdict: verdict ?? ('unjudged' as const), source: source ?? ('self' as const) };
    this.#log.amend({ pass, ...said });
  };

  /** The place a miss is asked about in which this change, or this note of a lead line, lies. */
  placeOf = ({ bar, change }: Pick<ChangeHeard, 'bar' | 'change'>): BreakPlace | undefined =>
    this.#state.partner?.places.find((place) =>
      place.from === '' ? place.bar === bar : place.change === change,
    );

  /** After a miss: it broke here; null is somewhere. */
  broke = (place: BreakPlace | null, source: ClimbSource = 'self'): void => {
    if (this.asked === null) return;
    this.#offer(place, source);
    this.#wait.start('wish');
  };

  /** After a miss: the next place it may have broken at; after the last one, somewhere. */
  stepPlace = (source: ClimbSource = 'self'): void => {
    const places = this.#state.partner?.places ?? [];
    const at = places.findIndex(({ change }) => change === this.asked?.place?.change);
    this.broke(places[at + 1] ?? null, source);
  };

  /** Takes the partner's step, or another of those it offers. */
  take = (answer?: AnswerKind): void => {
    this.#wait.end();
    this.#send({ kind: 'take', ...(answer && { answer }) });
  };

  /** The drill or piece is over: the climb goes on. */
  back = (): void => this.#send({ kind: 'back' });

  undo = (): void => {
    if (this.asked !== null) this.#wait.end();
    this.#send({ kind: 'undo' });
  };

  pause = (reason: PauseReason): void => {
    this.#catchUp();
    if (!RUNNING.includes(this.#state.phase)) return;
    this.#wait.end();
    this.#send({ kind: 'pause', reason });
  };

  /** Ends the climb; what was judged stays. Reason 'hurts' holds nothing against anyone. */
  stop = (reason: StopReason): void => {
    if (this.#state.phase === 'finished') return;
    this.#catchUp();
    this.#send({ kind: 'stop', reason });
  };

  /** Identity of a pass in the log, also before it is written there. */
  passId = (pass: number): string => this.#notes.facts(pass).id;

  /** Goes on from another bar of the unit (from 0): pauses where it sounds, and counts in there. */
  takeUpAt = async (bar: number): Promise<void> => {
    this.pause('player');
    if (this.#state.phase !== 'paused') return;
    this.#pausedAtBar = Math.max(0, Math.min(bar, this.setup.unit.bars.length - 1));
    await this.#withSound('resume');
  };

  /** Leaves the stage for good. */
  close = (): void => {
    this.stop('closed');
    this.#quiet();
    this.#leave?.();
    this.#leave = undefined;
  };

  /** Hears of every effect after it was carried out, e.g. to say it aloud. */
  onEffect = (listener: (effect: ClimbEffect) => void): (() => void) => this.#effects.add(listener);

  /** Hears of every lap as soon as it is handed to the player, the ear's cue to listen. */
  onLap: HandedLaps['onLap'] = (listener) => this.#laps.onLap(listener);

  async #withSound(kind: 'begin' | 'resume'): Promise<void> {
    if (this.#opening) return;
    this.#opening = true;
    const opened = await this.#around.player.open();
    this.#opening = false;
    this.#problems = opened.ok ? [] : opened.problems;
    if (!opened.ok) return;
    this.#leave ??= followWorld(this.#around, {
      frame: this.#frame,
      trouble: this.#meet,
      away: this.pause,
    });
    this.#awake.keep();
    this.#send({ kind });
  }

  #frame = (): void => {
    this.#catchUp();
    if (this.#wait.tick()) this.#waited();
    this.#place = this.#laps.place;
  };

  /** Tells the reducer all that has been heard so far. After a stall that may be several things. */
  #catchUp(): void {
    for (let due = this.#laps.report(); due; due = this.#laps.report()) this.#report(due);
  }

  #report({ kind, pass }: Report): void {
    if (kind !== 'pass-ended') return this.#send({ kind, pass });
    this.#notes.ended(pass);
    this.#send({ kind, pass, underrun: this.#laps.underrun });
  }

  #offer(place: BreakPlace | null, source: ClimbSource): void {
    this.#send({ kind: 'broke', place, source });
  }

  /** Nothing pressed: the partner's step is taken by itself, or the drill is over. */
  #waited(): void {
    if (this.#state.phase === 'asking') return this.take();
    this.#wait.end();
    this.stop('limit');
  }

  #meet = (trouble: PlayerTrouble): void => {
    if (trouble.kind === 'underrun') this.#laps.flagUnderrun(trouble.at);
    else this.pause('audio-lost');
  };

  #send(happened: Happening): void {
    const next = step(this.#state, { ...happened, now: this.#around.now() });
    this.#state = next.state;
    if (next.ignored !== undefined) this.#say(next.ignored);
    for (const effect of next.effects) {
      this.#carryOut(effect);
      const words = effectWords(effect, this.#state);
      if (words !== undefined) this.#say(words);
      this.#effects.tell(effect);
    }
    this.#awaitLastWord();
  }

  /** A drill or a piece leads back by itself: a word on its last pass is waited for, but not for ever. */
  #awaitLastWord(): void {
    const { phase, planned } = this.#state;
    const isLast = this.setup.detour !== undefined && phase === 'resting' && planned === null;
    if (isLast && this.#wait.left === undefined) this.#wait.start('held');
  }

  #carryOut(effect: ClimbEffect): void {
    switch (effect.kind) {
      case 'play':
        return this.#laps.play(
          this.#lapOf(effect),
          effect.again ? this.#pausedAtBar : (this.setup.fromBar ?? 0),
        );
      case 'queue':
        return this.#laps.queue(this.#lapOf(effect));
      case 'unqueue':
        return this.#laps.unqueue();
      case 'halt':
        this.#pausedAtBar = this.#laps.bar;
        this.#awake.pause();
        return this.#quiet();
      case 'log':
        return this.#log.write(this.#state, effect);
      case 'amend':
        return this.#log.amend(effect);
      case 'mark':
        return this.#log.mark(this.#state, effect);
      case 'finished':
        this.#wait.end();
        this.#quiet();
        return this.#awake.leave();
      case 'ask':
        this.#quiet();
        return this.#wait.start('where');
      case 'moved':
      case 'suggest':
      case 'detour':
        return;
    }
  }

  #lapOf({ pass, rung }: { readonly pass: number; readonly rung: number }) {
    return { pass, rung, bpm: this.#state.rungs[rung] as Bpm };
  }

  #quiet(): void {
    this.#laps.quiet();
    this.#place = undefined;
  }

  #say(text: string): void {
    this.#remark = { id: ++this.#remarks, text };
  }
}

/** A drill is not answered: it is the answer. */
function partnerFor({ unit, detour }: ClimbSetup): ReturnType<typeof newPartner> | null {
  return detour ? null : newPartner(breakPlaces(unit), unit.bars.length);
}
