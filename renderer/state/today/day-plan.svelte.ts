// Today's plan as the player shapes it: made from what is set and played, then moved about by hand.
import type { Chart } from '../../../app/core/model/chart.ts';
import type { Unit } from '../../../app/core/model/unit.ts';
import { findUnitAgain } from '../../../app/core/units/find.ts';
import { goalAhead } from '../stage/won.ts';
import type { UnitStanding } from '../../../app/core/progress/standing.ts';
import { type Plan, type PlanLine, planToday } from '../../../app/core/progress/today.ts';
import { sayOrder, sayWaiting } from '../../../app/core/progress/words.ts';
import {
  type Candidates,
  type OtherHere,
  candidatesOf,
  chartsInPlay,
  hardestOf,
} from './candidates.ts';
import type { DeskState } from '../desk/desk.svelte.ts';
import { NO_ENTRIES } from '../../page/maps.ts';
import type { Memory } from '../../page/memory.ts';
import type { UnitTally } from '../../../app/services/contract/contract.ts';
import type { Library } from '../library/library.svelte.ts';
import type { PracticeLog } from '../log/practice-log.svelte.ts';
import { today } from '../../page/clock.ts';
import type { PlayerSettings } from '../settings/settings.svelte.ts';

const MEMORY = 'rungwise.minutes';
/** Minutes offered the first time (common practice, no source). */
const USUAL_MINUTES = 30;
export const MOST_MINUTES = 240;

const EMPTY: Plan = { lines: [], later: [], waiting: [], round: 0 };

/** A unit to go on with. */
interface Onward {
  readonly chart: { readonly id: string; readonly title: string };
  readonly unit: Pick<Unit, 'key' | 'name'>;
}

interface PlanAround {
  readonly desk: DeskState;
  readonly library: Library;
  readonly log: PracticeLog;
  readonly memory: Memory;
  readonly settings: PlayerSettings;
}

export class DayPlan {
  readonly #around: PlanAround;
  #minutes = $state(USUAL_MINUTES);
  #candidates = $state.raw<Candidates>({
    found: [],
    lost: [],
    standings: NO_ENTRIES,
    others: NO_ENTRIES,
  });
  #plan = $state.raw<Plan>(EMPTY);
  #onward = $state.raw<Onward>();
  #ready = $state(false);
  /** Moved by hand: the plan is not made anew behind the player's back. */
  #shaped = $state(false);

  readonly used: number = $derived(
    Math.round(this.#plan.lines.reduce((sum, line) => sum + line.minutes, 0)),
  );

  constructor(around: PlanAround) {
    this.#around = around;
    this.#minutes = remembered(around.memory);
  }

  get ready(): boolean {
    return this.#ready;
  }
  get shaped(): boolean {
    return this.#shaped;
  }
  get minutes(): number {
    return this.#minutes;
  }
  get lines(): readonly PlanLine[] {
    return this.#plan.lines;
  }
  get later(): readonly PlanLine[] {
    return this.#plan.later;
  }
  /** Why the lines stand in this order. */
  get order(): string {
    return sayOrder(this.#plan);
  }
  /** Why something that is due soon has no turn; undefined where everything due has one, or the player shaped it. */
  get waiting(): string | undefined {
    return this.#shaped ? undefined : sayWaiting(this.#plan);
  }
  /** Where an assignment stands; undefined where its unit is lost. */
  standingFor = (assignment: string): UnitStanding | undefined =>
    this.#candidates.standings.get(assignment);

  /** What was played on other bars than were set; undefined where nothing was. */
  othersFor = (assignment: string): OtherHere | undefined =>
    this.#candidates.others.get(assignment);

  get lost(): Candidates['lost'] {
    return this.#candidates.lost;
  }

  /** What comes after the unit played last, for a day that needs nothing; undefined where nothing new does. */
  get onward(): Onward | undefined {
    return this.#onward;
  }

  load = async (): Promise<void> => {
    const { desk, library, log } = this.#around;
    const { ask } = log;
    const [units] = await Promise.all([ask('log.units', {}), library.load(), desk.load()]);
    const asOf = today();
    const charts = await library.openAll(chartsInPlay(desk.own, units, asOf));
    const [candidates, onward] = await Promise.all([
      candidatesOf(desk.own, { charts, units, ask, asOf }),
      this.#ahead(charts, units[0]),
    ]);
    this.#candidates = candidates;
    if (!this.#shaped) this.#make();
    this.#onward = onward;
    this.#ready = true;
    await this.#addHardness();
  };

  /** After something was set or taken in: a plan shaped by hand gives way to it. */
  reload = (): Promise<void> => {
    this.#shaped = false;
    return this.load();
  };

  setMinutes = (minutes: number): void => {
    this.#minutes = minutes;
    this.#around.memory.setItem(MEMORY, String(minutes));
    if (!this.#shaped) this.#make();
  };

  /** Back to the plan as the program would have it. */
  remake = (): void => {
    this.#shaped = false;
    this.#make();
  };

  move = (index: number, by: -1 | 1): void => {
    const lines = [...this.#plan.lines];
    const [line] = lines.splice(index, 1);
    if (line) lines.splice(index + by, 0, line);
    this.#shape({ ...this.#plan, lines });
  };

  leaveOut = (line: PlanLine): void =>
    this.#shape({
      ...this.#plan,
      lines: this.#plan.lines.filter((one) => one !== line),
      later: [line, ...this.#plan.later],
    });

  bringIn = (line: PlanLine): void =>
    this.#shape({
      ...this.#plan,
      lines: [...this.#plan.lines, line],
      later: this.#plan.later.filter((one) => one !== line),
    });

  give = (line: PlanLine, minutes: number): void =>
    this.#shape({
      ...this.#plan,
      lines: this.#plan.lines.map((one) => (one === line ? { ...one, minutes } : one)),
    });

  /** @param last the unit that was played last */
  async #ahead(charts: readonly Chart[], last: UnitTally | undefined): Promise<Onward | undefined> {
    const chart = charts.find(({ id }) => id === last?.chart.id);
    if (!last || !chart) return undefined;
    const here = findUnitAgain(chart, last.unit.key, last.unit.fingerprint);
    if (here.kind === 'gone') return undefined;
    const unit = await goalAhead(chart, here.unit, async ({ fingerprint: bars }) => {
      const asked = { chart: chart.id, bars, latest: 1 };
      return (await this.#around.log.ask('log.passes', asked)).passes.length > 0;
    });
    return unit && { chart: { id: chart.id, title: chart.title }, unit };
  }

  #shape(plan: Plan): void {
    this.#plan = plan;
    this.#shaped = true;
  }

  #make(): void {
    this.#plan = planToday(this.#candidates.found, this.#minutes);
  }

  /** Hands take a while to work out: one unit a turn, so that the room answers meanwhile. */
  async #addHardness(): Promise<void> {
    const { found } = this.#candidates;
    const known = [];
    for (const candidate of found) {
      await new Promise((resume) => setTimeout(resume));
      const hardest = hardestOf(
        this.#around.library.find(candidate.chart.id),
        candidate.unit.key,
        candidate.standing.target,
        this.#around.settings.now.barres,
      );
      known.push(hardest ? { ...candidate, hardest } : candidate);
    }
    if (this.#candidates.found !== found) return;
    this.#candidates = { ...this.#candidates, found: known };
    if (!this.#shaped) this.#make();
  }
}

function remembered(memory: Memory): number {
  const kept = Number(memory.getItem(MEMORY));
  return kept >= 1 && kept <= MOST_MINUTES ? kept : USUAL_MINUTES;
}
