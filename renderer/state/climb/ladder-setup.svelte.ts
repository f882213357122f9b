// What is about to be climbed: a unit of a chart, its ladder, and the choices of its laps.
import { FIRST_CHART } from '../../../app/services/contract/first-chart.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { type FoundUnit, findUnitAgain } from '../../../app/core/units/find.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { parseUnitKey } from '../../../app/core/units/keys.ts';
import { listUnits, resolveUnit } from '../../../app/core/units/resolve.ts';
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import { checkRules, rungs } from '../../../app/core/ladder/rungs.ts';
import { begunUnder, keptLadder, suggestRules } from '../../../app/core/ladder/suggest.ts';
import { localDate } from '../../../app/core/log/days.ts';
import { inBeat } from '../../../app/core/rhythm/pulse.ts';
import { breakingChanges, type ChangeTally } from '../../../app/core/progress/changes.ts';
import { termsFor } from '../../../app/core/progress/assignment.ts';
import {
  levelOf,
  ownedFrom,
  type OwnedTempo,
  ownedTempo,
  type Surer,
  surerBy,
} from '../../../app/core/progress/owned-tempo.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import type { Result } from '../../../app/core/base/result.ts';
import type { LapOptions } from '../../../app/core/timeline/model.ts';
import type { Bpm } from '../../../app/core/base/units.ts';
import type { SavedLadder, Services } from '../../../app/services/contract/contract.ts';
import type { DeskState } from '../desk/desk.svelte.ts';
import type { Library } from '../library/library.svelte.ts';
import type { PracticeLog } from '../log/practice-log.svelte.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import { today } from '../../page/clock.ts';

/** One bar of count-in, every beat, a cue one beat ahead: what a first climb needs (ours, no source). */
export const USUAL_OPTIONS: LapOptions = {
  countIn: 'one',
  restBars: 1,
  click: { kind: 'every-beat' },
  subdivision: 1,
  cueBeats: 1,
  markChanges: true,
};

/**
 * A click every 1.8 s cannot be kept in time with (33 bpm: Repp 2006, rate limits of sensorimotor
 * synchronization); below this tempo the beat is divided from the start. The margin is ours.
 */
const SLOW: Bpm = 40;

function usualOptions({ start, beat }: LadderRules): LapOptions {
  if (start >= SLOW) return USUAL_OPTIONS;
  return { ...USUAL_OPTIONS, subdivision: beat.startsWith('dotted') ? 3 : 2 };
}

export interface SetupAround {
  readonly services: Pick<Services, 'call'>;
  readonly library: Library;
  readonly log: PracticeLog;
  readonly settings: PlayerSettings;
  /** What was set for the player. */
  readonly desk: Pick<DeskState, 'own' | 'load'>;
}

/** So many of the latest passes are looked through for a unit that is still there. */
const LATELY = 500;

export class LadderSetup {
  readonly #around: SetupAround;
  #saved = $state.raw<readonly SavedLadder[]>([]);
  #ready = $state(false);
  #chart = $state('');
  #unitKey = $state('');
  #rules = $state.raw<LadderRules>();
  /** The ladder's own start while this sitting goes on from another one. */
  #ownStart = $state<Bpm>();
  options = $state.raw<LapOptions>(USUAL_OPTIONS);

  readonly chart: Chart | undefined = $derived.by(() => this.#around.library.find(this.#chart));
  /** Everything the chart offers by itself. */
  readonly units: readonly Unit[] = $derived(this.chart ? listUnits(this.chart) : []);
  readonly unit: Result<Unit> | undefined = $derived.by(() => {
    if (!this.chart || this.#unitKey === '') return undefined;
    const ref = parseUnitKey(this.#unitKey);
    return ref.ok ? resolveUnit(this.chart, ref.value) : ref;
  });
  /** Passes of these bars so far, also from before they were renamed or moved within the chart. */
  readonly passes: readonly PassRecord[] = $derived.by(() => {
    return this.unit?.ok ? this.passesOf(this.unit.value) : [];
  });
  readonly #level = $derived(
    this.unit?.ok ? levelOf(this.passes, this.unit.value.tempo.beat, today()) : undefined,
  );
  readonly owned: OwnedTempo | undefined = $derived(this.#level && ownedFrom(this.#level));
  /** What would make it surer. */
  readonly surer: Surer | undefined = $derived(
    this.#level && this.owned && surerBy(this.owned, this.#level),
  );
  /** What became of the unit since it was last played under this key. */
  readonly became: FoundUnit | undefined = $derived.by(() => {
    const { log } = this.#around;
    const last = log.records.passesOf(this.#chart, this.#unitKey).at(-1);
    if (!last || !this.chart) return undefined;
    const { key, fingerprint } = last.unit;
    return findUnitAgain(this.chart, key, fingerprint, log.playedUnit(fingerprint)?.bars);
  });
  readonly rungs: Result<readonly Bpm[]> | undefined = $derived(
    this.#rules ? rungs(this.#rules) : undefined,
  );
  readonly problems = $derived(this.#rules ? checkRules(this.#rules) : []);

  constructor(around: SetupAround) {
    this.#around = around;
  }

  get ready(): boolean {
    return this.#ready;
  }
  get chartId(): string {
    return this.#chart;
  }
  get unitKey(): string {
    return this.#unitKey;
  }
  get rules(): LadderRules | undefined {
    return this.#rules;
  }
  /** No pass of this unit is in the log of this day yet. */
  get cold(): boolean {
    return !this.passes.some((p) => localDate(p.at) === today());
  }
  /** The figure the ladder's rules may lean on, where the log supports one. */
  get ownedBpm(): Bpm | undefined {
    return this.owned && figureOf(this.owned);
  }

  /** Passes of a unit of the chart so far, in time order. */
  passesOf = ({ fingerprint }: Unit): readonly PassRecord[] =>
    this.#around.log.records.passesOfBars(this.#chart, fingerprint);

  /** Changes of the chart that broke so far, the ear's findings and the marks by hand alike. */
  broken = (): readonly ChangeTally[] =>
    breakingChanges(this.#around.log.passes.filter(({ chart }) => chart.id === this.#chart));

  load = async (): Promise<void> => {
    const { services, library, log, desk } = this.#around;
    const [saved] = await Promise.all([
      this.#ready ? this.#saved : services.call('ladders.list', {}),
      library.load(),
      log.load(),
      desk.load(),
    ]);
    this.#saved = saved;
    this.#ready = true;
  };

  /** Ladders came from elsewhere: they are read when one is asked for next. */
  readAgain = (): void => {
    void this.#around.services.call('ladders.list', {}).then((saved) => (this.#saved = saved));
  };

  /** Points at a chart and unit; without a chart at what was chosen or practised last, without a unit at the first section. */
  choose = async (chart: string | undefined, unit: string | undefined): Promise<void> => {
    const { library } = this.#around;
    const last = chart === undefined ? await this.#last() : undefined;
    const easiest = library.charts.find(({ id }) => id === FIRST_CHART) ?? library.charts[0];
    const asked = chart ?? last?.chart ?? easiest?.id ?? '';
    await library.open(asked);
    this.#chart = asked;
    this.#unitKey = unit ?? last?.unit ?? this.units[0]?.key ?? '';
    this.suggest(true);
  };

  /** What this window pointed at before, else what the log ends with; nothing that is gone since. */
  async #last(): Promise<{ readonly chart: string; readonly unit: string } | undefined> {
    const here = { chart: this.#chart, unit: this.#unitKey };
    if (await this.#isThere(here)) return here;
    const lately = this.#around.log.passes.slice(-LATELY).toReversed();
    const once = lately.filter((pass, i) => i === 0 || pass.unit.key !== lately[i - 1]!.unit.key);
    for (const pass of once) {
      const one = { chart: pass.chart.id, unit: pass.unit.key };
      if (await this.#isThere(one)) return one;
    }
    return undefined;
  }

  /** The ladder last used for this unit, what was set for it, or the suggested one. */
  suggest = (saved: boolean): void => {
    this.#ownStart = undefined;
    const last = this.#savedFor(this.#chart, this.#unitKey);
    const unit = this.unit?.ok ? this.unit.value : undefined;
    this.#rules = unit && this.#rulesOf(this.#chart, unit, this.ownedBpm, saved);
    const usual = this.#rules ? usualOptions(this.#rules) : USUAL_OPTIONS;
    this.options = (saved && last?.options) || this.#around.settings.now.lapOptions || usual;
  };

  /** The ladder that a climb on this unit would begin with; undefined while its chart is not open. */
  ladderFor = (chart: string, key: string): LadderRules | undefined => {
    const found = this.#around.library.find(chart);
    const ref = found && parseUnitKey(key);
    const unit = ref?.ok ? resolveUnit(found!, ref.value) : undefined;
    if (!unit?.ok) return undefined;
    const passes = this.#around.log.records.passesOfBars(chart, unit.value.fingerprint);
    const owned = ownedTempo(passes, unit.value.tempo.beat, today());
    return this.#rulesOf(chart, unit.value, figureOf(owned), true);
  };

  #savedFor(chart: string, unit: string): SavedLadder | undefined {
    return this.#saved.find((s) => s.chart === chart && s.unit === unit);
  }

  /** A kept ladder to another target than the one that is set gives way to what was set. */
  #rulesOf(chart: string, unit: Unit, owned: Bpm | undefined, saved: boolean): LadderRules {
    const set = termsFor(this.#around.desk.own.assignments, chart, unit.key)?.rules;
    const kept = saved ? this.#savedFor(chart, unit.key)?.rules : undefined;
    const ownedIn = ({ beat }: LadderRules): Bpm | undefined =>
      owned && inBeat(owned, unit.tempo.beat, beat);
    if (kept && (!set || kept.target === set.target)) return keptLadder(kept, ownedIn(kept));
    return set ? begunUnder(set, ownedIn(set)) : suggestRules(unit, owned);
  }

  /** Does the sitting go on from where a climb was stopped? */
  get goesOn(): boolean {
    return this.#ownStart !== undefined;
  }

  /** The next climb of this sitting begins here; the ladder that is kept for other days has its own start. */
  goOnFrom = (bpm: Bpm): void => {
    if (!this.#rules || this.#rules.route !== 'straight' || bpm > this.#rules.target) return;
    this.#ownStart ??= this.#rules.start;
    this.#rules = { ...this.#rules, start: bpm };
  };

  change = (patch: Partial<LadderRules>): void => {
    if (patch.start !== undefined) this.#ownStart = undefined;
    if (this.#rules) this.#rules = { ...this.#rules, ...patch };
  };

  changeOptions = (patch: Partial<LapOptions>): void => {
    this.options = { ...this.options, ...patch };
  };

  /** Keeps the ladder for the next time; a refusal costs no climb. */
  keep = async (): Promise<void> => {
    if (!this.#rules) return;
    const options = { ...this.options, restBars: this.#rules.restBars };
    const saved = await this.#around.services.call('ladders.save', {
      chart: this.#chart,
      unit: this.#unitKey,
      rules: { ...this.#rules, start: this.#ownStart ?? this.#rules.start },
      options,
    });
    if (saved.ok) this.#saved = [...this.#saved.filter((s) => !same(s, saved.value)), saved.value];
  };

  /** Is the unit still in the library? */
  async #isThere(here: { readonly chart: string; readonly unit: string }): Promise<boolean> {
    const { chart, unit } = here;
    const { library } = this.#around;
    const found = library.listed(chart) ? await library.open(chart) : undefined;
    const ref = found && parseUnitKey(unit);
    return ref?.ok === true && resolveUnit(found!, ref.value).ok;
  }
}

/** The tempo that a ladder may lean on; none where the log supports no figure. */
const figureOf = (owned: OwnedTempo): Bpm | undefined =>
  owned.kind === 'number' || owned.kind === 'at-least' ? owned.bpm : undefined;

const same = (a: SavedLadder, b: SavedLadder): boolean => a.chart === b.chart && a.unit === b.unit;
