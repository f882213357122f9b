// How wide a chord symbol is in the serif face, in em: near enough to fit it into a box before it is drawn.

/** Widths in Palatino's semibold cut, measured once in Chromium and rounded up; other signs count as a digit. */
const WIDTHS: readonly (readonly [RegExp, number])[] = [
  [/[MW]/, 1],
  [/[mw]/, 0.9],
  [/[A-Z]/, 0.8],
  [/[ijl,.()/]/, 0.4],
  [/[♯♭]/, 0.62],
  [/[a-z]/, 0.58],
];
const DIGIT = 0.56;

/** In em, an estimate. @param printed as it stands on the page */
export const symbolWidth = (printed: string): number =>
  [...printed].reduce((sum, c) => sum + (WIDTHS.find(([set]) => set.test(c))?.[1] ?? DIGIT), 0);
