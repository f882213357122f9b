// Other ways to name a day: a straight line, a power law and a plain logistic, each with its own 80 % band.
import { localDate, dayNumber } from '../../../app/core/log/days.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { fitLogistic } from '../../support/logistic.ts';
import type { Answer, Asked, Forecaster } from './forecast.ts';
import { octaves } from './players.ts';

/** z of the 10 and 90 % ends. */
const Z80 = 1.2816;
/** Later arrivals are not a day that anyone would name. */
const MOST_DAYS = 365;

interface Point {
  /** Practice days from 0. */
  readonly n: number;
  readonly level: number;
}

/** Each practice day's 80 % tempo by a plain fit of its own passes, where it has one. */
function points(passes: readonly PassRecord[]): Point[] {
  return [...Map.groupBy(passes, ({ at }) => localDate(at)).values()].flatMap((those, n) => {
    const groups = [
      ...Map.groupBy(
        those.filter(({ cold }) => !cold),
        ({ rung }) => rung.bpm,
      ),
    ].map(([bpm, at]) => {
      const yes = at.filter(({ verdict }) => verdict === 'clean').length;
      return { x: octaves(bpm), yes, no: at.length - yes };
    });
    const fit = fitLogistic(groups);
    if (!fit.ok || fit.value.b1 >= 0) return [];
    const level = (Math.log(4) - fit.value.b0) / fit.value.b1;
    return Math.abs(level - groups[0]!.x) < 1 ? [{ n, level }] : [];
  });
}

interface Line {
  readonly a: number;
  readonly b: number;
  readonly sdB: number;
}

/** Least squares of level on x. */
function line(data: readonly { readonly x: number; readonly y: number }[]): Line | undefined {
  if (data.length < 4) return undefined;
  const n = data.length;
  const mx = data.reduce((s, { x }) => s + x, 0) / n;
  const my = data.reduce((s, { y }) => s + y, 0) / n;
  const sxx = data.reduce((s, { x }) => s + (x - mx) ** 2, 0);
  const b = data.reduce((s, { x, y }) => s + (x - mx) * (y - my), 0) / sxx;
  const a = my - b * mx;
  const rss = data.reduce((s, { x, y }) => s + (y - a - b * x) ** 2, 0);
  return { a, b, sdB: Math.sqrt(rss / (n - 2) / sxx) };
}

/** Calendar days a practice day took so far. */
function pace(passes: readonly PassRecord[]): number {
  const dates = [...new Set(passes.map(({ at }) => localDate(at)))];
  const span = dayNumber(dates.at(-1)!) - dayNumber(dates[0]!);
  return Math.max(1, span / Math.max(1, dates.length - 1));
}

/** The band from the slope's own interval around the last value on the line. */
function answer(
  asked: Asked,
  now: number,
  slope: Line,
  daysAt: (slope: number) => number,
): Answer | 'reached' | undefined {
  if (octaves(asked.target) <= now) return 'reached';
  const per = pace(asked.passes);
  const days = (b: number): number => (b <= 0 ? Infinity : per * daysAt(b));
  const middle = days(slope.b);
  if (!(middle <= MOST_DAYS)) return undefined;
  const to = days(slope.b - Z80 * slope.sdB);
  return {
    from: Math.max(1, Math.floor(days(slope.b + Z80 * slope.sdB))),
    middle: Math.ceil(middle),
    ...(to <= MOST_DAYS ? { to: Math.ceil(to) } : {}),
  };
}

/** The last 14 practice days on a line. */
const straightLine: Forecaster = (asked) => {
  const data = points(asked.passes).slice(-14);
  const fit = line(data.map(({ n, level }) => ({ x: n, y: level })));
  if (!fit) return undefined;
  const now = fit.a + fit.b * data.at(-1)!.n;
  return answer(asked, now, fit, (b) => (octaves(asked.target) - now) / b);
};

/** log tempo on log practice day: tempo = a · n^b. */
const powerLaw: Forecaster = (asked) => {
  const data = points(asked.passes);
  const fit = line(data.map(({ n, level }) => ({ x: Math.log2(n + 1), y: level })));
  if (!fit) return undefined;
  const last = data.at(-1)!.n + 1;
  const now = fit.a + fit.b * Math.log2(last);
  return answer(asked, now, fit, (b) => last * 2 ** ((octaves(asked.target) - now) / b) - last);
};

/** P(clean) logistic in log tempo and practice day over all passes: day enters as tempo · rate, by a scan. */
const plainLogistic: Forecaster = (asked) => {
  const dates = [...new Set(asked.passes.map(({ at }) => localDate(at)))];
  const warm = asked.passes.filter(({ cold }) => !cold);
  const last = dates.length - 1;
  const place = new Map(dates.map((date, n) => [date, last - n]));
  // Passes of one day and tempo count together: forty-one fits of single ones take minutes.
  const counts = new Map<string, { x: number; ago: number; yes: number; no: number }>();
  for (const { at, rung, verdict } of warm) {
    const ago = place.get(localDate(at))!;
    const key = `${ago} ${rung.bpm}`;
    const count = counts.get(key) ?? { x: octaves(rung.bpm), ago, yes: 0, no: 0 };
    if (verdict === 'clean') count.yes++;
    else count.no++;
    counts.set(key, count);
  }
  const fits = Array.from({ length: 41 }, (_, i) => 0.002 * (i - 5)).flatMap((rate) => {
    const groups = [...counts.values()].map(({ x, ago, yes, no }) => ({
      x: x + rate * ago,
      yes,
      no,
    }));
    const fit = fitLogistic(groups);
    if (!fit.ok || fit.value.b1 >= 0) return [];
    const { b0, b1, logLikelihood } = fit.value;
    return [{ rate, now: (Math.log(4) - b0) / b1, log: logLikelihood }];
  });
  const best = fits.reduce((a, b) => (b.log > a.log ? b : a), fits[0]!);
  if (!best) return undefined;
  // Rates within the likelihood's 80 % interval (half of 1.642, χ² with one degree).
  const inside = fits.filter(({ log }) => log >= best.log - 0.821).map(({ rate }) => rate);
  const sdB = (Math.max(...inside) - Math.min(...inside)) / 2 / Z80;
  const slope = { a: 0, b: best.rate, sdB };
  return answer(asked, best.now, slope, (b) => (octaves(asked.target) - best.now) / b);
};

export const PEERS: Readonly<Record<string, Forecaster>> = {
  'straight line': straightLine,
  'power law': powerLaw,
  'plain logistic': plainLogistic,
};
