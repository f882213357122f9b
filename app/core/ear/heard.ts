// What the ear has heard of a take so far.
import type { Onset } from './onsets.ts';

/** What has been heard so far; `samples` at the ear's rate, the first `length` of them filled. */
export interface Heard {
  readonly samples: Float32Array;
  readonly length: number;
  readonly onsets: readonly Onset[];
}
