// What an assignment form holds while it is filled in, and the terms that come of it.
import type { Unit } from '../../../app/core/model/unit.ts';
import { checkRules } from '../../../app/core/ladder/rungs.ts';
import type { LadderRules, Route } from '../../../app/core/ladder/model.ts';
import { suggestRules } from '../../../app/core/ladder/suggest.ts';
import type { Terms } from '../../../app/core/progress/assignment.ts';
import type { Problem } from '../../../app/core/base/result.ts';
import type { Bpm, IsoDate } from '../../../app/core/base/units.ts';
import { checkDue, rulesAt } from '../../../app/core/progress/setting.ts';

export interface TermsDraft {
  target: Bpm;
  start: Bpm;
  cleanToClimb: number;
  missedToDrop: number;
  route: Route;
  /** ISO date, or empty for none. */
  due: string;
  /** 0 asks for none. */
  minutesPerWeek: number;
  note: string;
}

/** Terms as the fields of a form hold them: '' is no date, 0 no minutes. */
export const draftOf = ({ rules, due, minutesPerWeek, note }: Terms): TermsDraft => ({
  target: rules.target,
  start: rules.start,
  cleanToClimb: rules.cleanToClimb,
  missedToDrop: rules.missedToDrop,
  route: rules.route,
  due: due ?? '',
  minutesPerWeek: minutesPerWeek ?? 0,
  note,
});

/** What is suggested before anything is agreed. */
export const draftFor = (unit: Unit): TermsDraft =>
  draftOf({ rules: suggestRules(unit), note: '' });

/** @param base the rest of the ladder: as it was, or as suggested for the unit. */
export function termsOf(draft: TermsDraft, base: LadderRules): Terms {
  const { target, start, cleanToClimb, missedToDrop, route, due, minutesPerWeek, note } = draft;
  return {
    rules: {
      ...base,
      target,
      start: route === 'at-target' ? target : Math.min(start, target),
      cleanToClimb,
      missedToDrop,
      route,
    },
    note: note.trim(),
    ...(due === '' ? {} : { due }),
    ...(minutesPerWeek > 0 ? { minutesPerWeek } : {}),
  };
}

/** For a whole chart: every unit by its own tempo, at this share of it. */
export function wholeChartRules(draft: TermsDraft, unit: Unit, percent: number): LadderRules {
  const base = rulesAt(unit, percent);
  return termsOf({ ...draft, target: base.target, start: base.start }, base).rules;
}

/** @param before the date that stood there: an old date may stay, a new one never lies in the past. */
export function problemsOf(
  draft: TermsDraft,
  base: LadderRules,
  today: IsoDate,
  before?: IsoDate,
): readonly Problem[] {
  const due = draft.due === before ? undefined : checkDue(draft.due, today);
  return [...checkRules(termsOf(draft, base).rules), ...(due ? [due] : [])];
}
