// How large the campaign against the data folder is: a short form in `npm test`, the long one by `npm run campaign`.

const long = process.env['CAMPAIGN'] === 'long';
const share = Number(process.env['CAMPAIGN_SCALE'] ?? 1);

const times = (short: number, whole: number): number =>
  long ? Math.max(1, Math.round(whole * share)) : short;

export const SCALE = {
  long,
  kills: times(3, 200),
  killsAtStart: times(3, 75),
  suspends: times(1, 20),
  /** Times that a folder is moved, replaced, closed or robbed of its lock in a row. */
  moves: times(6, 200),
  /** Flipped bits of the log, and of all other files together. */
  flipsInLog: times(12, 400),
  flipsElsewhere: times(24, 400),
  /** Orders of what a player’s machines do, and of what couriers meet. */
  interleavings: times(40, 10_000),
  couriers: times(40, 3_000),
  milliseconds: long ? 3_600_000 : 600_000,
} as const;

/** Figures of the long form. */
export function told(figures: string): void {
  if (long) console.log(figures);
}
