// Adam (Kingma & Ba 2015) with its usual constants: how far each weight goes along a slope, by its own history.

/** Of a step at this rate; the row is used again for the next one. */
export type Stride = (slope: Float64Array, rate: number) => Float64Array;

const MEAN_KEPT = 0.9;
const MEAN_NEW = 0.1;
const SQUARE_KEPT = 0.999;
const SQUARE_NEW = 0.001;
const LEAST = 1e-8;

/** For so many weights, from their first step on. */
export function adam(size: number): Stride {
  const mean = new Float64Array(size);
  const square = new Float64Array(size);
  const stride = new Float64Array(size);
  let step = 0;
  return (slope, rate) => {
    step++;
    for (let i = 0; i < size; i++) {
      mean[i] = MEAN_KEPT * mean[i]! + MEAN_NEW * slope[i]!;
      square[i] = SQUARE_KEPT * square[i]! + SQUARE_NEW * slope[i]! ** 2;
      const m = mean[i]! / (1 - MEAN_KEPT ** step);
      const v = square[i]! / (1 - SQUARE_KEPT ** step);
      stride[i] = (rate * m) / (Math.sqrt(v) + LEAST);
    }
    return stride;
  };
}
