// Simulated players for every check of the program's figures: how they learn, slip, tire and practise.
//
// What is assumed, none of it taken from the models that are checked:
// - A pass is clean with probability (1 − lapses) · logistic(steepness · (ability − tempo) + c), tempo and
//   ability in octaves (log₂ bpm), c such that the pass is clean four times in five where tempo = ability.
//   Steepness 6 logits per octave is a player who falls off slowly, 30 one who hits a wall; lapses of 0–10 %
//   are slips that have nothing to do with the tempo.
// - Ability = level + the day's form − tiredness. Level is what the program is asked for: the tempo of four
//   clean passes in five on an ordinary day, rested. It moves once per practice day.
// - Form is one normal draw per practice day, 0–6 % (standard deviation), the same for all of its passes.
// - Tiredness grows evenly from nothing at the first pass of the day to 0–4 % at the last.
// - Level stands still, gains a fixed share per practice day (0–3 %), or nears a ceiling exponentially
//   (Heathcote, Brown & Mewhort 2000); some stand on a plateau for a while, and 12 days without practice
//   may cost some of it.
// - Tempos: a day begins below where the last one ended; some clean passes in a row lead up, some missed
//   ones down. How far, how many and by what step differ from player to player. The first pass of the day
//   is marked cold.
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import type { Bpm, IsoDate, Share } from '../../../app/core/base/units.ts';
import { dateOfDay, dayNumber } from '../../../app/core/log/days.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import { pass, type PassWish } from '../../unit/log/passes.ts';

export type Roll = () => number;

/** Uniform numbers in [0, 1) from a seed. */
export function dice(seed: number): Roll {
  const generator = xoroshiro128plus(seed);
  return () => uniformFloat64(generator);
}

/** A standard normal number (Box & Muller 1958). */
const normal = (roll: Roll): number =>
  Math.sqrt(-2 * Math.log(1 - roll())) * Math.cos(2 * Math.PI * roll());

export const between = (roll: Roll, low: number, high: number): number =>
  low + (high - low) * roll();

export function pick<T>(roll: Roll, from: readonly T[]): T {
  return from[Math.floor(roll() * from.length)]!;
}

/** How a player climbs, day by day. */
export interface Habit {
  /** The day begins at this share of the tempo the last one ended at. */
  readonly begin: Share;
  readonly step: Share;
  readonly cleanToClimb: number;
  readonly missedToDrop: number;
}

export interface Player {
  /** log₂ bpm on the n-th practice day, from 0. */
  readonly level: (day: number) => number;
  readonly steepness: number;
  readonly lapses: Share;
  readonly form: Share;
  readonly tiredness: Share;
  readonly habit: Habit;
}

/** One without slips, form or tiredness, whose level is known in bpm on every practice day. */
export const plainPlayer = (owned: (day: number) => Bpm, steepness = 12): Player => ({
  level: (day) => octaves(owned(day)),
  steepness,
  lapses: 0,
  form: 0,
  tiredness: 0,
  habit: PLAIN_HABIT,
});

/** Two clean passes up 4 %, two missed down 4 %; the day begins a tenth below. */
const PLAIN_HABIT: Habit = { begin: 0.9, step: 0.04, cleanToClimb: 2, missedToDrop: 2 };

export const anyHabit = (roll: Roll): Habit => ({
  begin: between(roll, 0.85, 0.95),
  step: between(roll, 0.03, 0.06),
  cleanToClimb: 1 + Math.floor(roll() * 3),
  missedToDrop: 1 + Math.floor(roll() * 2),
});

export const octaves = (bpm: Bpm): number => Math.log2(bpm);
/** A share of tempo in octaves: 3 % is 0.0426. */
export const shareInOctaves = (share: Share): number => Math.log2(1 + share);

/** A level that gains this share per practice day. */
export const steady =
  (start: Bpm, gain: Share) =>
  (day: number): number =>
    octaves(start) + day * shareInOctaves(gain);

/** A level that nears a ceiling, `gap` octaves above the start, with time constant `tau` practice days. */
export const exponential =
  (start: Bpm, gap: number, tau: number) =>
  (day: number): number =>
    octaves(start) + gap * (1 - Math.exp(-day / tau));

/** The same level, standing still for `length` practice days from day `from`. */
export const withPlateau =
  (level: (day: number) => number, from: number, length: number) =>
  (day: number): number =>
    level(day < from ? day : Math.max(from, day - length));

/** The same level, lower by `loss` octaves from practice day `from` on, half of it back after every 2 days. */
export const withLoss =
  (level: (day: number) => number, from: number, loss: number) =>
  (day: number): number =>
    level(day) - (day < from ? 0 : loss * 2 ** (-(day - from) / 2));

export interface Calendar {
  readonly from: IsoDate;
  /** Calendar day (from 0) of the n-th practice day. */
  readonly dayOf: (practiceDay: number) => number;
}

export const FIRST_DATE: IsoDate = '2031-01-06';
export const DAILY: Calendar = { from: FIRST_DATE, dayOf: (day) => day };

/** Practice on every n-th day. */
export const every = (n: number): Calendar => ({ from: FIRST_DATE, dayOf: (day) => day * n });

/** Daily practice with `length` days off before practice day `at`. */
export const withBreak = (at: number, length: number): Calendar => ({
  from: FIRST_DATE,
  dayOf: (day) => (day < at ? day : day + length),
});

export const dateOn = ({ from, dayOf }: Calendar, practiceDay: number): IsoDate =>
  dateOfDay(dayNumber(from) + dayOf(practiceDay));

const LOGIT_FOUR_IN_FIVE = (lapses: Share): number => {
  const p = 0.8 / (1 - lapses);
  return Math.log(p / (1 - p));
};

/** P(clean) of one pass. */
export function chanceOfClean(
  player: Pick<Player, 'steepness' | 'lapses'>,
  ability: number,
  bpm: Bpm,
): Share {
  const odds = player.steepness * (ability - octaves(bpm)) + LOGIT_FOUR_IN_FIVE(player.lapses);
  return (1 - player.lapses) / (1 + Math.exp(-odds));
}

export interface Practice {
  readonly days: number;
  readonly passesPerDay: number;
  readonly calendar?: Calendar;
  readonly wish?: PassWish;
}

/** Every pass of `days` practice days. */
export function practise(player: Player, practice: Practice, roll: Roll): PassRecord[] {
  const passes: PassRecord[] = [];
  let tempo = 2 ** player.level(0);
  for (let day = 0; day < practice.days; day++) {
    tempo = practiseDay(player, practice, { day, tempo: tempo * player.habit.begin }, roll, passes);
  }
  return passes;
}

/** Plays one practice day into `passes`; returns the tempo it ended at. */
function practiseDay(
  player: Player,
  { passesPerDay, calendar = DAILY, wish }: Omit<Practice, 'days'>,
  { day, tempo }: { readonly day: number; readonly tempo: Bpm },
  roll: Roll,
  passes: PassRecord[],
): Bpm {
  const { habit, form, tiredness } = player;
  const date = dateOn(calendar, day);
  const ability = player.level(day) + shareInOctaves(form) * normal(roll);
  let at = tempo;
  let run = 0;
  for (let i = 0; i < passesPerDay; i++) {
    const bpm = Math.min(400, Math.max(20, Math.round(at)));
    const tired = (shareInOctaves(tiredness) * i) / Math.max(1, passesPerDay - 1);
    const clean = roll() < chanceOfClean(player, ability - tired, bpm);
    const verdict = clean ? 'clean' : 'missed';
    passes.push(pass(clockTime(date, i), { ...wish, bpm, verdict, cold: i === 0 }));
    run = clean ? Math.max(run, 0) + 1 : Math.min(run, 0) - 1;
    if (run >= habit.cleanToClimb || -run >= habit.missedToDrop) {
      at *= run > 0 ? 1 + habit.step : 1 / (1 + habit.step);
      run = 0;
    }
  }
  return at;
}

function clockTime(date: IsoDate, minute: number): string {
  const two = (n: number): string => String(n).padStart(2, '0');
  return `${date}T${two(9 + Math.floor(minute / 60))}:${two(minute % 60)}:00Z`;
}
