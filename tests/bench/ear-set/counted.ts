// A share with its interval, in words.

/** How many of how many, as a share with its 95 % interval after Wilson (1927). */
export interface Counted {
  readonly share: number;
  readonly words: string;
}

export function counted(hits: number, of: number): Counted {
  if (of === 0) return { share: NaN, words: 'none' };
  const z = 1.96;
  const p = hits / of;
  const half = z * Math.sqrt((p * (1 - p)) / of + (z * z) / (4 * of * of));
  const [low, high] = [-1, 1].map(
    (side) => (100 * (p + (z * z) / (2 * of) + side * half)) / (1 + (z * z) / of),
  );
  return {
    share: p,
    words: `${hits} of ${of}, 95 % interval ${Math.max(0, low!).toFixed(1)}–${Math.min(100, high!).toFixed(1)} %`,
  };
}
