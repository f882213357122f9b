// How often the band shown with an owned tempo holds the truth, row by row, beside a three-day fit.
import { localDate } from '../../../app/core/log/days.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { fitLogistic } from '../../support/logistic.ts';
import { type OwnedTempo, ownedTempo } from '../../../app/core/progress/owned-tempo.ts';
import {
  anyHabit,
  between,
  DAILY,
  dateOn,
  dice,
  exponential,
  type Habit,
  octaves,
  pick,
  type Player,
  practise,
  type Roll,
  shareInOctaves,
  steady,
} from './players.ts';

export interface OwnedRow {
  readonly name: string;
  readonly days: number;
  readonly passesPerDay: number;
  readonly player: (roll: Roll) => Player;
  /** Days without practice between the last practice day and the question, and what they cost. */
  readonly idle?: { readonly days: number; readonly loss: (roll: Roll) => number };
}

/** Hardly anything breaks, or hardly anything holds: then only a limit can be said. */
const CAUTIOUS: Habit = { begin: 0.75, step: 0.03, cleanToClimb: 4, missedToDrop: 1 };
const RASH: Habit = { begin: 1.35, step: 0.03, cleanToClimb: 1, missedToDrop: 6 };

type Traits = Partial<Omit<Player, 'level'>> & {
  readonly gain?: number;
  readonly tau?: number;
};

const anyStart = (roll: Roll): number => between(roll, 60, 140);

const playerOf =
  ({ gain = 0, tau, ...traits }: Traits) =>
  (roll: Roll): Player => ({
    level: tau === undefined ? steady(anyStart(roll), gain) : exponential(anyStart(roll), 0.5, tau),
    steepness: 12,
    lapses: 0.02,
    form: 0.02,
    tiredness: 0,
    habit: anyHabit(roll),
    ...traits,
  });

const row = (name: string, traits: Traits, days = 14, passesPerDay = 20): OwnedRow => ({
  name,
  days,
  passesPerDay,
  player: playerOf(traits),
});

const percent = (share: number): string => `${Math.round(1000 * share) / 10} %`;
const STEEP = [6, 12, 20, 30];

/** Everything the players' file allows, drawn anew for each player. */
const anyPlayer = (roll: Roll): Player =>
  playerOf({
    steepness: 6 * 5 ** roll(),
    lapses: between(roll, 0, 0.1),
    form: between(roll, 0, 0.06),
    tiredness: between(roll, 0, 0.04),
    ...pick(roll, [{ gain: 0 }, { gain: between(roll, 0, 0.03) }, { tau: between(roll, 5, 30) }]),
  })(roll);

export const OWNED_ROWS: readonly OwnedRow[] = [
  ...[0, 0.01, 0.02, 0.03].flatMap((gain) =>
    STEEP.map((steepness) =>
      row(`gain ${percent(gain)} a day, steepness ${steepness}`, { gain, steepness }),
    ),
  ),
  ...[5, 10, 20].flatMap((tau) =>
    [8, 20].map((steepness) =>
      row(`exponential, τ ${tau} days, steepness ${steepness}`, { tau, steepness }),
    ),
  ),
  ...[0, 0.02, 0.04, 0.06].flatMap((form) =>
    [10, 20, 40, 80].map((passes) =>
      row(`form ${percent(form)}, ${passes} passes a day`, { form }, 14, passes),
    ),
  ),
  ...[0, 0.05, 0.1].map((lapses) => row(`lapses ${percent(lapses)}`, { lapses })),
  ...[0.02, 0.04].map((tiredness) => row(`tires by ${percent(tiredness)}`, { tiredness })),
  ...[1, 2, 4, 7, 30].flatMap((days) =>
    [0, 0.02].map((gain) => row(`${days} days, gain ${percent(gain)} a day`, { gain }, days)),
  ),
  // What a break costs is an assumption of ours, as large as players tell.
  ...[[4, 0.015] as const, [12, 0.04] as const, [30, 0.08] as const].map(([idle, most]) => ({
    ...row(`asked after ${idle} days off that cost up to ${percent(most)}`, { gain: 0.01 }),
    idle: { days: idle, loss: (roll: Roll) => between(roll, 0, shareInOctaves(most)) },
  })),
  ...[2, 6].map((days) => row(`stays well below, ${days} days`, { habit: CAUTIOUS }, days, 12)),
  ...[1, 3].map((days) => row(`begins far too fast, ${days} days`, { habit: RASH }, days, 12)),
  { name: 'anyone, 10 passes a day', days: 14, passesPerDay: 10, player: anyPlayer },
  { name: 'anyone, 30 passes a day', days: 14, passesPerDay: 30, player: anyPlayer },
];

export interface OwnedResult {
  readonly row: string;
  readonly players: number;
  /** Players who were shown a number with its band. */
  readonly shown: number;
  readonly held: number;
  /** "At least" and "below" that were said, and how many were true. */
  readonly sided: number;
  readonly sidedTrue: number;
  /** Root mean square error of the middle in octaves, over players whom both could answer. */
  readonly error: number;
  readonly peerError: number;
  readonly both: number;
  /** Median width of the band, fast end over slow end. */
  readonly width: number;
}

export type Estimate = (passes: readonly PassRecord[], asOf: string) => OwnedTempo;
const ours: Estimate = (passes, asOf) => ownedTempo(passes, 'quarter', asOf);

/** One row over this many players. */
export function runOwnedRow(
  { name, days, passesPerDay, player, idle }: OwnedRow,
  players: number,
  seed: number,
  estimate: Estimate = ours,
): OwnedResult {
  const roll = dice(seed);
  const widths: number[] = [];
  let [shown, held, sided, sidedTrue, both, error, peerError] = [0, 0, 0, 0, 0, 0, 0];
  for (let n = 0; n < players; n++) {
    const one = player(roll);
    const passes = practise(one, { days, passesPerDay }, roll);
    const truth = one.level(days - 1) - (idle?.loss(roll) ?? 0);
    const owned = estimate(passes, dateOn(DAILY, days - 1 + (idle?.days ?? 0)));
    if (owned.kind === 'at-least' || owned.kind === 'below') {
      sided++;
      if (owned.kind === 'at-least' ? octaves(owned.bpm) <= truth : octaves(owned.bpm) >= truth) {
        sidedTrue++;
      }
    }
    if (owned.kind !== 'number') continue;
    shown++;
    if (octaves(owned.low) <= truth && truth <= octaves(owned.high)) held++;
    widths.push(owned.high / owned.low);
    const peer = threeDayFit(passes);
    if (peer === undefined) continue;
    both++;
    error += (octaves(owned.bpm) - truth) ** 2;
    peerError += (peer - truth) ** 2;
  }
  widths.sort((a, b) => a - b);
  return {
    row: name,
    players,
    shown,
    held,
    sided,
    sidedTrue,
    both,
    error: Math.sqrt(error / both),
    peerError: Math.sqrt(peerError / both),
    width: widths[Math.floor(widths.length / 2)] ?? NaN,
  };
}

/** The peer: a plain maximum-likelihood logistic fit of the last three practice days; octaves. */
function threeDayFit(passes: readonly PassRecord[]): number | undefined {
  const dates = [...new Set(passes.map(({ at }) => localDate(at)))].slice(-3);
  const recent = passes.filter(({ at, cold }) => !cold && dates.includes(localDate(at)));
  const groups = [...Map.groupBy(recent, ({ rung }) => rung.bpm)].map(([bpm, at]) => {
    const yes = at.filter(({ verdict }) => verdict === 'clean').length;
    return { x: octaves(bpm), yes, no: at.length - yes };
  });
  const fit = fitLogistic(groups);
  if (!fit.ok || fit.value.b1 >= 0) return undefined;
  return (Math.log(4) - fit.value.b0) / fit.value.b1;
}

/** Wilson's two-sided 95 % interval of a share (Wilson 1927, JASA 22). */
export function wilson(hits: number, of: number): readonly [number, number] {
  if (of === 0) return [0, 1];
  const z = 1.96;
  const p = hits / of;
  const middle = (p + (z * z) / (2 * of)) / (1 + (z * z) / of);
  const reach = (z * Math.sqrt((p * (1 - p)) / of + (z * z) / (4 * of * of))) / (1 + (z * z) / of);
  return [Math.max(0, middle - reach), Math.min(1, middle + reach)];
}
