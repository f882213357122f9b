// Where the timber of a drawn ladder goes, in pixels of its box: plain numbers, so that it can be tested.

export interface Box {
  readonly width: number;
  readonly height: number;
}

export interface DrawnRung {
  readonly index: number;
  readonly y: number;
  readonly left: number;
  readonly right: number;
  readonly thickness: number;
  /** Is there room for this rung's tempo beside it? */
  readonly labelled: boolean;
}

export interface LadderGeometry {
  readonly rungs: readonly DrawnRung[];
  /** Corner points of each rail, for a polygon. */
  readonly leftRail: string;
  readonly rightRail: string;
  /** y of a tempo between rungs (the owned tempo need not be a rung). */
  readonly yOf: (position: number) => number;
  readonly rungGap: number;
}

/** Least distance between two labels, and the share of the width the ladder itself takes. */
export interface LadderStyle {
  readonly labelGap: number;
  /** Kept free above the top rung, for the flag. */
  readonly topRoom: number;
  readonly from: number;
  readonly to: number;
}

/**
 * A ladder of `count` rungs, lowest first, seen from a little below: the rails lean in by an eighth.
 * @param keep Rungs whose tempo is always written (present, target, start); others give way.
 */
export function ladderGeometry(
  box: Box,
  count: number,
  keep: readonly number[],
  style: LadderStyle,
): LadderGeometry {
  const top = Math.max(style.topRoom, box.height * 0.07);
  const bottom = box.height - Math.max(18, box.height * 0.06);
  const rungGap = count > 1 ? (bottom - top) / (count - 1) : 0;
  const yOf = (position: number) => (count > 1 ? bottom - position * rungGap : (top + bottom) / 2);
  const lean = (style.to - style.from) / 8;
  const inset = (y: number) => lean * (1 - y / box.height);
  const railWidth = Math.max(7, (style.to - style.from) * 0.075);
  const thickness = Math.min(13, Math.max(3, (rungGap || 30) * 0.42));
  const labelled = spreadLabels(count, keep, rungGap, style.labelGap);
  const rungs = Array.from({ length: count }, (_, index) => {
    const y = yOf(index);
    return {
      index,
      y,
      left: style.from + inset(y) + railWidth / 2,
      right: style.to - inset(y) - railWidth / 2,
      thickness,
      labelled: labelled.has(index),
    };
  });
  return {
    rungs,
    yOf,
    rungGap,
    leftRail: rail(style.from, lean, railWidth, box.height, 1),
    rightRail: rail(style.to, lean, railWidth, box.height, -1),
  };
}

/** A rail from the floor at `x` to the top, leaning by `lean` towards the middle; thinner at the top. */
function rail(x: number, lean: number, width: number, height: number, side: 1 | -1): string {
  const top = x + side * lean;
  const points = [
    [x, height],
    [top, 0],
    [top + side * width * 0.8, 0],
    [x + side * width, height],
  ];
  return points.map(([px, py]) => `${px?.toFixed(1)},${py?.toFixed(1)}`).join(' ');
}

/** Kept rungs first, then as many others from the bottom up as keep the distance. */
function spreadLabels(
  count: number,
  keep: readonly number[],
  rungGap: number,
  labelGap: number,
): ReadonlySet<number> {
  const chosen: number[] = [];
  const fits = (i: number) => chosen.every((c) => Math.abs(c - i) * rungGap >= labelGap);
  for (const i of [...keep, ...Array(count).keys()]) {
    if (i >= 0 && i < count && !chosen.includes(i) && fits(i)) chosen.push(i);
  }
  return new Set(chosen);
}

/** Position of a tempo on the rungs, e.g. 2.5 half-way between the third and the fourth; clamped to the ladder. */
export function rungPosition(rungs: readonly number[], bpm: number): number {
  const above = rungs.findIndex((r) => r >= bpm);
  if (above === -1) return rungs.length - 1;
  if (above === 0) return 0;
  const low = rungs[above - 1] ?? bpm;
  const high = rungs[above] ?? bpm;
  return above - 1 + (bpm - low) / (high - low);
}
