// A simulated player, for tests: misses by a known curve, climbs by a plain rule, from a seed.
import { uniformFloat64 } from 'pure-rand/distribution/uniformFloat64';
import { xoroshiro128plus } from 'pure-rand/generator/xoroshiro128plus';
import { dateOfDay, dayNumber } from '../../../app/core/log/days.ts';
import type { PassRecord } from '../../../app/core/model/pass.ts';
import type { Bpm, IsoDate } from '../../../app/core/base/units.ts';
import { pass, type PassWish } from '../log/passes.ts';

/** Uniform numbers in [0, 1) from a seed. */
export function dice(seed: number): () => number {
  const generator = xoroshiro128plus(seed);
  return () => uniformFloat64(generator);
}

export interface Player {
  /** Owned tempo on the n-th practice day (from 0). */
  readonly owned: (day: number) => Bpm;
  /** Logits of P(clean) lost per octave of tempo. */
  readonly steepness: number;
  /** Share of passes missed whatever the tempo. */
  readonly lapses?: number;
}

export interface Practice {
  readonly from: IsoDate;
  readonly days: number;
  /** Calendar days from one practice day to the next. */
  readonly every?: number;
  readonly passesPerDay: number;
  readonly wish?: PassWish;
}

const LOGIT_OWNED = Math.log(4);

/** Two clean passes in a row climb 4 %, two missed drop 4 %; each day starts a fifth below the day before's last tempo. */
export function practise(player: Player, practice: Practice, roll: () => number): PassRecord[] {
  const passes: PassRecord[] = [];
  let tempo = player.owned(0) * 0.9;
  for (let day = 0; day < practice.days; day++) {
    const date = dateOfDay(dayNumber(practice.from) + day * (practice.every ?? 1));
    tempo *= 0.8;
    let run = 0;
    for (let i = 0; i < practice.passesPerDay; i++) {
      const bpm = Math.round(tempo);
      const odds = LOGIT_OWNED - player.steepness * Math.log2(bpm / player.owned(day));
      const clean = roll() < (1 - (player.lapses ?? 0)) / (1 + Math.exp(-odds));
      const at = `${date}T${String(9 + Math.floor(i / 60)).padStart(2, '0')}:${String(i % 60).padStart(2, '0')}:00Z`;
      passes.push(
        pass(at, { ...practice.wish, bpm, verdict: clean ? 'clean' : 'missed', cold: i === 0 }),
      );
      run = clean ? Math.max(run, 0) + 1 : Math.min(run, 0) - 1;
      if (run === 2 || run === -2) {
        tempo *= run > 0 ? 1.04 : 1 / 1.04;
        run = 0;
      }
    }
  }
  return passes;
}
