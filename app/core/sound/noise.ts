// Noise that is the same every time, so that what is rendered repeats.

/** The number after this one, −2³¹ to 2³¹ − 1 (linear congruential, Numerical Recipes; from memory). */
export const nextNoise = (noise: number): number =>
  (Math.imul(noise, 1_664_525) + 1_013_904_223) | 0;
