// The course of a unit over its practice days: a saturating curve fitted robustly, with what it leaves open.
//
// log₂ tempo = ceiling − gap · exp(−t / τ), t in practice days: single learners' practice curves are better
// fitted by an exponential than by a power law (Heathcote, Brown & Mewhort 2000, Psychonomic Bulletin &
// Review 7:185). For each τ of a grid ceiling and gap are a robust least-squares fit (Huber 1964, k = 1.345);
// the τ are mixed by how well they fit, so that a course that says little gives a wide answer.
import type { BeatUnit, Bpm, IsoDate, Share } from '../base/units.ts';
import { localDate } from '../log/days.ts';
import { tempoOfDay } from './owned-tempo.ts';
import type { PassRecord } from '../model/pass.ts';

/** A practice day's own owned tempo, from that day's passes alone. */
export interface DayPoint {
  readonly date: IsoDate;
  readonly bpm: Bpm;
  /** Standard deviation of log₂ tempo. */
  readonly spread: number;
  /** Nearly all was clean: the day's owned tempo lies above everything tried, and is a guess. */
  readonly untested: boolean;
}

/** Practice days looked at: older ones say little about next month. Our choice. */
const WINDOW_DAYS = 60;
/** z of the 5 and 95 % ends of a normal interval. */
const Z90 = 1.645;

/** Points of the latest {@link WINDOW_DAYS} practice days that hold enough passes for one. @param passes of one unit in time order. */
export function dayPoints(passes: readonly PassRecord[], beat: BeatUnit): DayPoint[] {
  const fingerprint = passes.at(-1)?.unit.fingerprint;
  const same = passes.filter((pass) => pass.unit.fingerprint === fingerprint);
  return lastDays(same).flatMap(([date, those]) => {
    const { posterior, tried } = tempoOfDay(those, beat);
    if (!posterior) return [];
    return [
      {
        date,
        bpm: posterior.middle,
        spread: Math.log2(posterior.high / posterior.low) / (2 * Z90),
        untested: posterior.middle > tried.fastest,
      },
    ];
  });
}

/** The latest {@link WINDOW_DAYS} practice days with their passes, earliest first. */
function lastDays(passes: readonly PassRecord[]): [IsoDate, PassRecord[]][] {
  const days = new Map<IsoDate, PassRecord[]>();
  for (const pass of passes.toReversed()) {
    const date = localDate(pass.at);
    const day = days.get(date);
    if (day) day.unshift(pass);
    else if (days.size < WINDOW_DAYS) days.set(date, [pass]);
    else break;
  }
  return [...days].reverse();
}

/** One curve the points allow, and how much it weighs. */
interface Curve {
  readonly ceiling: number;
  readonly gap: number;
  readonly tau: number;
  readonly weight: number;
}

export interface Course {
  /** Practice days so far. */
  readonly days: number;
  readonly curves: readonly Curve[];
}

/** A value known with an interval of {@link COURSE_LEVEL}; Infinity stands for "not at this course". */
export interface Span {
  readonly low: number;
  readonly middle: number;
  readonly high: number;
}

/** Share of cases that a span is meant to hold. */
export const COURSE_LEVEL: Share = 0.8;
/** Fewer days than this do not show a course. Our choice. */
export const LEAST_DAYS = 5;

const TAUS = [1.5, 2.2, 3.2, 4.6, 6.8, 10, 15, 22, 32, 46, 68, 100];
/** Standard normal quantiles at (2k + 1) / 14: seven equally likely places. */
const EVEN_NORMALS = [-1.465, -0.792, -0.366, 0, 0.366, 0.792, 1.465];
const HUBER_K = 1.345;
const ROUNDS = 8;
/** Day-to-day scatter beyond the day's own uncertainty: first guess, and least (1 % of tempo). */
const FIRST_SCATTER = 0.03;
const LEAST_SCATTER = Math.log2(1.01);

/** Undefined with fewer than {@link LEAST_DAYS} points. */
export function fitCourse(points: readonly DayPoint[]): Course | undefined {
  if (points.length < LEAST_DAYS) return undefined;
  const first = TAUS.map((tau) => fitAt(tau, points, FIRST_SCATTER));
  const best = first.reduce((a, b) => (b.loss < a.loss ? b : a));
  const scatter = scatterOf(points, best);
  const fits = TAUS.map((tau) => fitAt(tau, points, scatter));
  const least = Math.min(...fits.map((fit) => fit.loss));
  return {
    days: points.length,
    curves: fits.flatMap((fit) => around(fit, Math.exp(least - fit.loss))),
  };
}

/** Day-to-day scatter (log₂ tempo, standard deviation) that the days' own uncertainty leaves unexplained. */
export function scatterOf(
  points: readonly DayPoint[],
  fit: Pick<Fit, 'ceiling' | 'gap' | 'tau'>,
): number {
  const residuals = points.map((point, t) => Math.abs(Math.log2(point.bpm) - valueOf(fit, t)));
  const spread = 1.4826 * median(residuals); // MAD of a normal to its standard deviation
  const own = median(points.map((point) => point.spread));
  return Math.sqrt(Math.max(spread ** 2 - own ** 2, LEAST_SCATTER ** 2));
}

/** Tempo after `ahead` more practice days. */
export function tempoAhead(course: Course, ahead: number): Span {
  return spanOf(
    course.curves.map((curve) => ({
      value: 2 ** valueOf(curve, course.days - 1 + ahead),
      weight: curve.weight,
    })),
  );
}

/** Practice days from the last one until the curve reaches the tempo; 0 if it is there, Infinity if never. */
export function daysUntil(course: Course, bpm: Bpm): Span {
  const wanted = Math.log2(bpm);
  return spanOf(
    course.curves.map((curve) => ({
      value: crossing(curve, course.days - 1, wanted),
      weight: curve.weight,
    })),
  );
}

interface Fit {
  readonly ceiling: number;
  readonly gap: number;
  readonly tau: number;
  /** Variances and covariance of ceiling and gap. */
  readonly varC: number;
  readonly varG: number;
  readonly cov: number;
  readonly loss: number;
}

const valueOf = ({ ceiling, gap, tau }: Pick<Fit, 'ceiling' | 'gap' | 'tau'>, t: number): number =>
  ceiling - gap * Math.exp(-t / tau);

function crossing(curve: Curve, now: number, wanted: number): number {
  if (valueOf(curve, now) >= wanted) return 0;
  if (curve.ceiling <= wanted || curve.gap <= 0) return Infinity;
  return curve.tau * Math.log(curve.gap / (curve.ceiling - wanted)) - now;
}

/** Huber's robust regression on (1, −exp(−t/τ)) by reweighted least squares. */
function fitAt(tau: number, points: readonly DayPoint[], scatter: number): Fit {
  const rows = points.map((point, t) => ({
    y: Math.log2(point.bpm),
    e: -Math.exp(-t / tau),
    sd: Math.hypot(point.spread, scatter),
  }));
  let fit = { ceiling: 0, gap: 0, varC: 0, varG: 0, cov: 0 };
  for (let round = 0; round < ROUNDS; round++) {
    const previous = fit;
    fit = leastSquares(
      rows.map(({ y, e, sd }) => {
        const r = Math.abs(y - previous.ceiling - previous.gap * e) / sd;
        return { y, e, w: (round === 0 || r <= HUBER_K ? 1 : HUBER_K / r) / sd ** 2 };
      }),
    );
  }
  const loss = rows.reduce(
    (sum, { y, e, sd }) => sum + huber((y - fit.ceiling - fit.gap * e) / sd),
    0,
  );
  return { ...fit, tau, loss };
}

const huber = (r: number): number =>
  Math.abs(r) <= HUBER_K ? (r * r) / 2 : HUBER_K * (Math.abs(r) - HUBER_K / 2);

function leastSquares(rows: readonly { y: number; e: number; w: number }[]) {
  let [s, se, see, sy, sey] = [0, 0, 0, 0, 0];
  for (const { y, e, w } of rows) {
    s += w;
    se += w * e;
    see += w * e * e;
    sy += w * y;
    sey += w * e * y;
  }
  // A gap is a few octaves at most: this keeps nearly straight courses finite.
  see += 1 / GAP_SPREAD ** 2;
  const det = s * see - se * se;
  return {
    ceiling: (see * sy - se * sey) / det,
    gap: (s * sey - se * sy) / det,
    varC: see / det,
    varG: s / det,
    cov: -se / det,
  };
}
/** Octaves between the first day and the ceiling, weak prior. Our choice. */
const GAP_SPREAD = 2;

/** 49 equally weighted curves that stand for the uncertainty of one fit. */
function around(fit: Fit, weight: number): Curve[] {
  if (weight < 1e-6) return [];
  const sdC = Math.sqrt(fit.varC);
  const along = fit.cov / sdC;
  const across = Math.sqrt(Math.max(fit.varG - along * along, 0));
  return EVEN_NORMALS.flatMap((u) =>
    EVEN_NORMALS.map((v) => ({
      ceiling: fit.ceiling + sdC * u,
      gap: fit.gap + along * u + across * v,
      tau: fit.tau,
      weight,
    })),
  );
}

function spanOf(values: { value: number; weight: number }[]): Span {
  const sorted = values.sort((a, b) => a.value - b.value);
  const total = sorted.reduce((sum, { weight }) => sum + weight, 0);
  const at = (share: Share): number => {
    let sum = 0;
    for (const { value, weight } of sorted) {
      sum += weight;
      if (sum >= share * total) return value;
    }
    return sorted.at(-1)!.value;
  };
  const tail = (1 - COURSE_LEVEL) / 2;
  return { low: at(tail), middle: at(0.5), high: at(1 - tail) };
}

export function median(values: readonly number[]): number {
  const sorted = values.toSorted((a, b) => a - b);
  const middle = Math.floor(sorted.length / 2);
  return sorted.length % 2 === 1 ? sorted[middle]! : (sorted[middle - 1]! + sorted[middle]!) / 2;
}
