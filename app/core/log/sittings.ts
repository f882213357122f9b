// Sittings with one unit, each as a course of passes.
import type { BeatUnit, Bpm, IsoDate, IsoTime } from '../base/units.ts';
import type { PassRecord, PassVerdict } from '../model/pass.ts';
import { localDate, onSameDate } from './days.ts';
import { groupRuns } from './group-runs.ts';
import { tempoIn } from './per-unit.ts';
import { type Tally, tally } from './tally.ts';

export interface Sitting extends Tally {
  readonly session: string;
  readonly date: IsoDate;
  readonly from: IsoTime;
  readonly to: IsoTime;
  /** Tempo and verdict of each pass in order; every tempo here counts the note value of the unit's latest pass. */
  readonly course: readonly { readonly bpm: Bpm; readonly verdict: PassVerdict }[];
  readonly bestClean?: Bpm;
  /** The first, cold pass of its day, where this sitting holds it. */
  readonly cold?: { readonly bpm: Bpm; readonly verdict: PassVerdict };
}

/** In the order in which they began. @param passes of one unit, settled, in time order. */
export function sittingsOf(passes: readonly PassRecord[]): Sitting[] {
  const last = passes.at(-1);
  if (!last) return [];
  const sittings = groupRuns(
    passes,
    ({ session, at }) => `${session}\n${localDate(at)}`,
    (a, b) => a.session === b.session && onSameDate(a.at, b.at),
  );
  return [...sittings.values()].map((those) => sittingOf(those, last.rung.beat));
}

function sittingOf(passes: readonly PassRecord[], beat: BeatUnit): Sitting {
  const first = passes[0]!;
  const course = passes.map((pass) => ({ bpm: tempoIn(pass, beat), verdict: pass.verdict }));
  const bestClean = course.reduce(
    (best, { bpm, verdict }) => (verdict === 'clean' ? Math.max(best, bpm) : best),
    0,
  );
  const cold = passes.findIndex((pass) => pass.cold);
  return {
    ...tally(passes),
    session: first.session,
    date: localDate(first.at),
    from: first.at,
    to: passes.at(-1)!.at,
    course,
    ...(bestClean > 0 && { bestClean }),
    ...(cold >= 0 && { cold: course[cold]! }),
  };
}
