// A song that is being set for several: which parts, at which share of their tempo, by when, for whom.
import { SvelteMap, SvelteSet } from 'svelte/reactivity';
import type { Chart } from '../../../app/core/model/chart.ts';
import type { IsoDate, IsoTime } from '../../../app/core/base/units.ts';
import type { Problem } from '../../../app/core/base/result.ts';
import { assign, type Assignment, type Student } from '../../../app/core/progress/assignment.ts';
import {
  checkDue,
  hasSet,
  lessonDays,
  rulesAt,
  type SetStep,
  stepsOf,
} from '../../../app/core/progress/setting.ts';
import { type Template, TEMPLATES } from '../../../app/core/progress/template.ts';

/** In place of a weekday: every student's own day of the lesson. */
export const OWN_DAY = 0;

export interface DraftStep extends SetStep {
  /** Empty for no date. Where every student has a day of their own, the date is theirs, in this `week`. */
  readonly due: IsoDate | '';
  readonly note: string;
  readonly taken: boolean;
  /** Why its date cannot be: said where it is written. */
  readonly problem?: Problem;
}

interface Giving {
  readonly at: IsoTime;
  readonly by: string;
  readonly newId: () => string;
}

export class SongSetting {
  chart = $state.raw<Chart>();
  template = $state.raw<Template>(TEMPLATES[0]);
  /** 1 is Monday, 7 is Sunday; or {@link OWN_DAY}. */
  day = $state<number>(1);
  /** For all of it. */
  note = $state('');
  /** Ids of the students it is for. */
  readonly who = new SvelteSet<string>();
  readonly #today: IsoDate;
  readonly #left = new SvelteSet<string>();
  readonly #dates = new SvelteMap<string, IsoDate | ''>();
  readonly #weeks = new SvelteMap<string, number>();
  readonly #percents = new SvelteMap<string, number>();
  readonly #notes = new SvelteMap<string, string>();

  readonly steps: readonly DraftStep[] = $derived.by(() => {
    const { chart } = this;
    return chart ? stepsOf(chart, this.template).map((step) => this.#drafted(step)) : [];
  });
  readonly taken: readonly DraftStep[] = $derived(this.steps.filter(({ taken }) => taken));
  /** Why it cannot be set like this. */
  readonly problem: Problem | undefined = $derived(
    this.steps.map(({ problem }) => problem).find((found) => found !== undefined),
  );

  constructor(today: IsoDate) {
    this.#today = today;
  }

  /** Another chart begins anew; the template, the day, the note and the students stay. */
  takeChart(chart: Chart | undefined): void {
    if (chart?.id !== this.chart?.id) {
      for (const changed of [this.#left, this.#dates, this.#weeks, this.#percents, this.#notes]) {
        changed.clear();
      }
    }
    this.chart = chart;
  }

  /** What was changed by hand in single lines gives way to the template. */
  takeTemplate(template: Template): void {
    for (const changed of [this.#dates, this.#weeks, this.#percents]) changed.clear();
    this.template = template;
  }

  tick(key: string, taken: boolean): void {
    if (taken) this.#left.delete(key);
    else this.#left.add(key);
  }
  /** All of it, or nothing: where few things are set, they are ticked from there. */
  tickAll(taken: boolean): void {
    for (const { unit } of this.steps) this.tick(unit.key, taken);
  }
  setDue = (key: string, due: IsoDate | ''): void => void this.#dates.set(key, due);
  setWeek = (key: string, week: number): void => void this.#weeks.set(key, week);
  setPercent = (key: string, percent: number): void => void this.#percents.set(key, percent);
  setNote = (key: string, note: string): void => void this.#notes.set(key, note);

  /** What a student has of it already; it stays as it is. */
  has = (student: Student): boolean =>
    this.taken.some(({ unit }) => hasSet(student, this.chart!.id, unit.key));

  /** What the student is given: everything taken that is not set for them yet. */
  makeFor = (student: Student, { at, by, newId }: Giving): readonly Assignment[] => {
    const { chart } = this;
    if (!chart) return [];
    return this.taken
      .filter(({ unit }) => !hasSet(student, chart.id, unit.key))
      .flatMap((step) => {
        const due = this.#dueFor(student, step);
        const note = [step.note, this.note].map((text) => text.trim()).filter(Boolean);
        const giving = { at, by, newId, note: note.join('\n'), ...(due === '' ? {} : { due }) };
        return assign(chart, [step.unit], giving, (unit) => rulesAt(unit, step.percent));
      });
  };

  #drafted(step: SetStep): DraftStep {
    const { key } = step.unit;
    const week = this.#weeks.get(key) ?? step.week;
    const due = this.#dates.get(key) ?? this.#lesson(this.day, week);
    const taken = !this.#left.has(key);
    const problem = taken && this.day !== OWN_DAY ? checkDue(due, this.#today) : undefined;
    return {
      ...step,
      week,
      percent: this.#percents.get(key) ?? step.percent,
      due,
      note: this.#notes.get(key) ?? '',
      taken,
      ...(problem && { problem }),
    };
  }

  #dueFor({ lessonDay = 1 }: Student, { due, week }: DraftStep): IsoDate | '' {
    return this.day === OWN_DAY ? this.#lesson(lessonDay, week) : due;
  }

  /** The lesson of that week. A student without a day of their own has it on Monday. */
  #lesson(weekday: number, week: number): IsoDate {
    return lessonDays(this.#today, weekday === OWN_DAY ? 1 : weekday, week).at(-1)!;
  }
}
