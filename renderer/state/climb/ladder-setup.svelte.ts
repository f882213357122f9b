// What is about to be climbed: a unit of a chart, its ladder, and the choices of its laps.
import { FIRST_CHART } from '../../../app/services/contract/first-chart.ts';
import type { Chart } from '../../../app/core/model/chart.ts';
import { type FoundUnit, findUnitAgain } from '../../../app/core/units/find.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { parseUnitKey } from '../../../app/core/units/keys.ts';
import { firstUnit, resolveUnit } from '../../../app/core/units/resolve.ts';
import type { LadderRules } from '../../../app/core/ladder/model.ts';
import { checkRules, rungs } from '../../../app/core/ladder/rungs.ts';
import { begunUnder, keptLadder, suggestRules } from '../../../app/core/ladder/suggest.ts';
import { dateOfDay, dayNumber } from '../../../app/core/log/days.ts';
import { inBeat } from '../../../app/core/rhythm/pulse.ts';
import type { ChangeTally } from '../../../app/core/progress/changes.ts';
import { termsFor } from '../../../app/core/progress/assignment.ts';
import type { OwnedTempo, Surer } from '../../../app/core/progress/owned-tempo.ts';
import type { UnitStanding } from '../../../app/core/progress/standing.ts';
import type { Result } from '../../../app/core/base/result.ts';
import type { LapOptions } from '../../../app/core/timeline/model.ts';
import type { Bpm, IsoDate } from '../../../app/core/base/units.ts';
import type { SavedLadder, Services } from '../../../app/services/contract/contract.ts';
import type { BarsCount } from '../../../app/services/contract/log-queries.ts';
import type { DeskState } from '../desk/desk.svelte.ts';
import type { Library } from '../library/library.svelte.ts';
import type { PracticeLog } from '../log/practice-log.svelte.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';
import { today } from '../../page/clock.ts';
import { mapOf, NO_ENTRIES } from '../../page/maps.ts';

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

/** What the log says of the unit that was chosen. */
interface Known {
  /** The log's version that said so. */
  readonly version: number;
  /** Absent where the chart does not hold the unit. */
  readonly standing?: UnitStanding | undefined;
  /** How passes of the chart went within a year, by the fingerprint of their bars. */
  readonly counts: ReadonlyMap<string, BarsCount>;
  /** What became of the unit since it was last played under its key. */
  readonly became?: FoundUnit | undefined;
}

const UNKNOWN: Known = { version: -1, counts: NO_ENTRIES };

/** Before this day nothing is counted for a choice between units. */
const yearAgo = (): IsoDate => dateOfDay(dayNumber(today()) - 366);

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
  readonly unit: Result<Unit> | undefined = $derived.by(() => {
    if (!this.chart || this.#unitKey === '') return undefined;
    const ref = parseUnitKey(this.#unitKey);
    return ref.ok ? resolveUnit(this.chart, ref.value) : ref;
  });
  #known = $state.raw<Known>(UNKNOWN);
  /** How often something was chosen, and which of those choices is shown. */
  #choices = 0;
  #shown = 0;
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
  /** The tempo that is owned of these bars, and what would make it surer. */
  get owned(): OwnedTempo | undefined {
    return this.#known.standing?.owned;
  }
  get surer(): Surer | undefined {
    return this.#known.standing?.surer;
  }
  /** What became of the unit since it was last played under this key. */
  get became(): FoundUnit | undefined {
    return this.#known.became;
  }
  /** No pass of this unit is in the log of this day yet. */
  get cold(): boolean {
    const { unit } = this;
    return !unit?.ok || !this.#around.log.playedToday(this.#chart, unit.value.fingerprint);
  }
  /** The figure the ladder's rules may lean on, where the log supports one. */
  get ownedBpm(): Bpm | undefined {
    return this.owned && figureOf(this.owned);
  }

  /** How passes of a unit's bars went within a year, also before they were renamed or moved; undefined where there are none. */
  countsOf = ({ fingerprint }: Unit): BarsCount | undefined => this.#known.counts.get(fingerprint);

  /** Changes of the chart that broke within a year, the ear's findings and the marks by hand alike. */
  broken = (): Promise<readonly ChangeTally[]> =>
    this.#around.log.ask('log.changes', { chart: this.#chart, since: yearAgo() });

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

  /** Until what was chosen last is shown; undefined while it is. */
  #choosing: Promise<void> | undefined;

  /** Does this with what was chosen last: at once, or when the log has answered about it. Nothing comes of a choice that fails. */
  whenChosen = (act: () => void): void => {
    if (this.#choosing) void this.#choosing.then(act, () => undefined);
    else act();
  };

  /** Points at a chart and unit; without a chart at what was chosen or practised last, without a unit at the first section. */
  choose = async (chart: string | undefined, unit: string | undefined): Promise<void> => {
    const choosing = this.#choose(chart, unit);
    this.#choosing = choosing;
    try {
      await choosing;
    } finally {
      if (this.#choosing === choosing) this.#choosing = undefined;
    }
  };

  async #choose(chart: string | undefined, unit: string | undefined): Promise<void> {
    const choice = ++this.#choices;
    const { library } = this.#around;
    const last = chart === undefined ? await this.#last() : undefined;
    const easiest = library.charts.find(({ id }) => id === FIRST_CHART) ?? library.charts[0];
    const asked = chart ?? last?.chart ?? easiest?.id ?? '';
    const found = await library.open(asked);
    const key = unit ?? last?.unit ?? (found && firstUnit(found)?.key) ?? '';
    const known = await this.#ask(found, key);
    // What was chosen later may be shown already.
    if (choice < this.#shown) return;
    this.#shown = choice;
    this.#chart = asked;
    this.#unitKey = key;
    this.#known = known;
    this.suggest(true);
  }

  /** Asks the log anew where it has changed; in an effect, whenever it does. */
  look = async (): Promise<void> => {
    const { chart } = this;
    const key = this.#unitKey;
    if (this.#around.log.version === this.#known.version) return;
    const known = await this.#ask(chart, key);
    if (chart === this.chart && key === this.#unitKey) this.#known = known;
  };

  async #ask(chart: Chart | undefined, key: string): Promise<Known> {
    const { log } = this.#around;
    const { version } = log;
    if (!chart) return { ...UNKNOWN, version };
    const unit = unitIn(chart, key);
    const [standing, counts, [last]] = await Promise.all([
      unit && this.#standing(chart.id, unit),
      log.ask('log.counts', { chart: chart.id, since: yearAgo() }),
      log.ask('log.units', { chart: chart.id, unit: key }),
    ]);
    const print = last?.unit.fingerprint;
    const other = print !== undefined && print !== unit?.fingerprint;
    const [bars] = other ? await log.ask('log.bars', { fingerprints: [print] }) : [];
    return {
      ...{ version, standing, counts: mapOf(counts.map((one) => [one.bars, one])) },
      became: last && findUnitAgain(chart, last.unit.key, last.unit.fingerprint, bars?.bars),
    };
  }

  async #standing(chart: string, unit: Unit): Promise<UnitStanding | undefined> {
    const { fingerprint: bars, tempo } = unit;
    const of = [{ chart, bars, beat: tempo.beat, target: tempo.bpm, asOf: today() }];
    const [standing] = await this.#around.log.ask('log.standings', { of });
    return standing;
  }

  /** What this window pointed at before, else what was played last and is still there. */
  async #last(): Promise<{ readonly chart: string; readonly unit: string } | undefined> {
    const here = { chart: this.#chart, unit: this.#unitKey };
    if (await this.#isThere(here)) return here;
    for (const { chart, unit } of await this.#around.log.ask('log.units', {})) {
      const one = { chart: chart.id, unit: unit.key };
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

  /** The tempo that the ladder of a unit may lean on; undefined where the log supports none, or its chart is not open. */
  ownedOf = async (chart: string, key: string): Promise<Bpm | undefined> => {
    const unit = this.#unitIn(chart, key);
    const standing = unit && (await this.#standing(chart, unit));
    return standing && figureOf(standing.owned);
  };

  /** The ladder that a climb on this unit would begin with; undefined while its chart is not open. */
  ladderFor = (chart: string, key: string, owned: Bpm | undefined): LadderRules | undefined => {
    const unit = this.#unitIn(chart, key);
    return unit && this.#rulesOf(chart, unit, owned, true);
  };

  #unitIn(id: string, key: string): Unit | undefined {
    const chart = this.#around.library.find(id);
    return chart && unitIn(chart, key);
  }

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
    return found !== undefined && unitIn(found, unit) !== undefined;
  }
}

function unitIn(chart: Chart, key: string): Unit | undefined {
  const ref = parseUnitKey(key);
  const unit = ref.ok ? resolveUnit(chart, ref.value) : ref;
  return unit.ok ? unit.value : undefined;
}

/** The tempo that a ladder may lean on; none where the log supports no figure. */
const figureOf = (owned: OwnedTempo): Bpm | undefined =>
  owned.kind === 'number' || owned.kind === 'at-least' ? owned.bpm : undefined;

const same = (a: SavedLadder, b: SavedLadder): boolean => a.chart === b.chart && a.unit === b.unit;
