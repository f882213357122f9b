// Lead lines of a chart drawn from a seed: notes near one place of the neck, with what hands do to them.
import type { Dice } from './dice.ts';
import type { DrawnBar } from './drawn-bars.ts';

/** Note values as typed, in quarter notes. */
const VALUES = [
  ['4', 1],
  ['8', 0.5],
  ['8', 0.5],
  ['8', 0.5],
  ['4.', 1.5],
  ['2', 2],
  ['16', 0.25],
  ['8.', 0.75],
] as const;
const FROM_MAJOR_OR_MINOR = ['third above', 'third below', 'sixth below'];

export function drawLeads(dice: Dice, bars: readonly DrawnBar[], hasKey: boolean): string[] {
  const names = ['Hook', 'Answer'].filter(() => dice.falls(0.25));
  return names.flatMap((name) => {
    const first = dice.whole(0, bars.length - 1);
    const count = Math.min(bars.length - first, dice.whole(1, 3));
    const hand = new Hand(dice);
    const played = bars.slice(first, first + count).map(({ quarters }) => hand.bar(quarters));
    const moved = dice.one(['octave up', 'octave down', ...(hasKey ? FROM_MAJOR_OR_MINOR : [])]);
    return [
      `line: ${name}, bar ${first + 1}`,
      `part One: | ${played.join(' | ')} |`,
      ...(dice.falls(0.4) ? [`part Two: One, ${moved}`] : []),
    ];
  });
}

interface Fretted {
  readonly string: number;
  readonly fret: number;
}

/** Remembers the value and note before, as the notation does. */
class Hand {
  readonly #dice: Dice;
  readonly #place: number;
  #value = '';
  #last: Fretted | undefined;

  constructor(dice: Dice) {
    this.#dice = dice;
    this.#place = dice.whole(2, 9);
  }

  bar(quarters: number): string {
    const signs: string[] = [];
    for (let left = quarters; left > 0;) {
      const triplet = left >= 1 && this.#dice.falls(0.12);
      const [value, length] = triplet
        ? (['8t', 1] as const)
        : this.#dice.one(VALUES.filter(([, lasts]) => lasts <= left));
      if (value !== this.#value) signs.push(value);
      this.#value = value;
      for (let i = 0; i < (triplet ? 3 : 1); i++) signs.push(this.#sign());
      left -= length;
    }
    return signs.join(' ');
  }

  #sign(): string {
    const kind = this.#dice.roll();
    if (kind < 0.1) {
      this.#last = undefined;
      return 'r';
    }
    if (kind < 0.18 && this.#last) return '-';
    if (kind < 0.42 && this.#last) return this.#reach(this.#last);
    return this.#note();
  }

  #reach({ string, fret }: Fretted): string {
    const up = fret < 3 || this.#dice.falls(0.5);
    const to = fret + (up ? 1 : -1) * this.#dice.whole(1, 2);
    this.#last = { string, fret: to };
    return `${this.#dice.one(up ? ['h', '/'] : ['p', '\\'])}${to}`;
  }

  #note(): string {
    const dice = this.#dice;
    const string = Math.min(6, Math.max(1, (this.#last?.string ?? 3) + dice.whole(-1, 1)));
    const fret = this.#place + dice.whole(0, 3);
    if (dice.falls(0.05) && string < 6) {
      this.#last = { string: string + 1, fret: this.#place };
      return `${string}/${fret}+${string + 1}/${this.#place}`;
    }
    this.#last = { string, fret };
    const grace = dice.falls(0.04) ? `g${fret - 1}${dice.one(['h', '/'])}` : '';
    const bend = dice.falls(0.08) ? dice.one(['b.5', 'b1', 'b1r', 'b1.5', 'b.5r']) : '';
    return `${string}/${grace}${fret}${bend}${dice.falls(0.06) ? '~' : ''}${dice.falls(0.06) ? '^' : ''}`;
  }
}
