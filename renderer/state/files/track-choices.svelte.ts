// What goes into a MIDI file or a practice track: a unit, its rungs, and what is heard of it.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { type TrackOptions, trackLength } from '../../../app/core/exchange/practice-track.ts';
import type { TrackLevels } from '../../../app/core/exchange/wave/write.ts';
import { shapesHeld } from '../../../app/core/units/hands/fewest-barres.ts';
import { unitVoicings } from '../../../app/core/units/hands/hands.ts';
import { rungs } from '../../../app/core/ladder/rungs.ts';
import type { Problem, Result } from '../../../app/core/base/result.ts';
import type { HeardClicks } from '../../../app/core/sound/hits.ts';
import { partsIn } from '../../../app/core/sound/lead/in-lap.ts';
import type { LeadPartName } from '../../../app/core/timeline/lead.ts';
import type { Bpm, Seconds } from '../../../app/core/base/units.ts';
import { LadderSetup, type SetupAround } from '../climb/ladder-setup.svelte.ts';
import type { Sound } from '../sound/sound.svelte.ts';

/** All parts of lead lines, none, or the one at this place in {@link TrackChoices.parts}. */
export type HeardLeads = 'all' | 'none' | number;

export interface TrackAround extends SetupAround {
  readonly sound: Sound;
}

export class TrackChoices {
  readonly #around: TrackAround;
  /** The ladder of the unit as it was last climbed, or as suggested; here it is only read and bent. */
  readonly setup: LadderSetup;
  /** Enough to settle on a rung (ours, no source). */
  passes = $state(3);
  click = $state<HeardClicks>('all');
  chords = $state(true);
  /** Drums and bass. */
  band = $state(false);
  leads = $state<HeardLeads>('all');
  #levels = $state.raw<Partial<TrackLevels>>({});
  #unread = $state.raw<readonly string[]>([]);

  readonly unit: Unit | undefined = $derived.by(() =>
    this.setup.unit?.ok ? this.setup.unit.value : undefined,
  );
  readonly parts: readonly LeadPartName[] = $derived(this.unit ? partsIn(this.unit) : []);
  /** The rungs up to the target, whatever route a climb takes through them. */
  readonly tempos: Result<readonly Bpm[]> | undefined = $derived.by(
    () => this.setup.rules && rungs({ ...this.setup.rules, above: 0 }),
  );
  readonly length: Result<Seconds> | undefined = $derived.by(() => {
    const frame = this.#frame;
    return this.unit && frame ? trackLength(this.unit, frame) : undefined;
  });
  readonly problems: readonly Problem[] = $derived.by(() => {
    const failed = [this.setup.unit, this.tempos, this.length].find(
      (result) => result && !result.ok,
    );
    return failed && !failed.ok ? failed.problems : [];
  });
  /** May it be written as it stands? False also while a number is half typed. */
  readonly ready: boolean = $derived(this.length?.ok === true && this.#unread.length === 0);
  /** As on the player, with what was moved here on top. The file's own loudness is set by whoever plays it. */
  readonly levels: TrackLevels = $derived.by(() => ({
    ...this.#around.sound.levels,
    ...this.#levels,
  }));

  constructor(around: TrackAround) {
    this.#around = around;
    this.setup = new LadderSetup(around);
  }

  open = async (chart: Chart): Promise<void> => {
    await this.setup.load();
    await this.setup.choose(chart.id, undefined);
    this.leads = 'all';
  };

  choose = (unit: string): void => {
    void this.setup.choose(this.setup.chartId, unit);
    this.leads = 'all';
  };

  setLevel = (voice: keyof TrackLevels, level: number): void => {
    this.#levels = { ...this.#levels, [voice]: level };
  };

  /** A field whose typed text is no number of its range holds the file back. */
  mark = (field: string, invalid: boolean): void => {
    if (invalid === this.#unread.includes(field)) return;
    const others = this.#unread.filter((other) => other !== field);
    this.#unread = invalid ? [...others, field] : others;
  };

  /** All of it, with the shapes looked for now. Undefined unless {@link ready}. */
  options = (): TrackOptions | undefined => {
    const { unit } = this;
    const frame = this.#frame;
    if (!unit || !frame || !this.ready) return undefined;
    return {
      ...frame,
      click: this.click,
      ...(this.chords && { voicings: unitVoicings(unit, this.#held) }),
      leads: this.#heardParts,
      ...(this.band && { band: {} }),
    };
  };

  get #held() {
    const { chart } = this.setup;
    return chart && shapesHeld(chart, this.#around.settings.now.barres);
  }

  get #frame(): Pick<TrackOptions, 'tempos' | 'passes' | 'lap'> | undefined {
    const { rules, options } = this.setup;
    if (!rules || !this.tempos?.ok) return undefined;
    const lap = { ...options, restBars: rules.restBars };
    return { tempos: this.tempos.value, passes: this.passes, lap };
  }

  get #heardParts(): readonly LeadPartName[] {
    if (this.leads === 'all') return this.parts;
    return this.leads === 'none' ? [] : this.parts.slice(this.leads, this.leads + 1);
  }
}
